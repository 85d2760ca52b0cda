"""The clay issue list of a class: beside the scale, to write on. Text in, bytes out."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from studio.paper.blocks import Caution, Paragraph, heading
from studio.paper.flow import Flow
from studio.paper.pages import Align, Face, Page, Sheet
from studio.paper.pdf import pdf
from studio.paper.tables import TICK_MM, Blank, Cell, Column, Table, Tick


@dataclass(frozen=True)
class PaperLine:
    """One student as the paper shows them; weights in the studio's unit."""

    code: str
    name: str
    weigh_out: str
    between: str
    of_a_bag: str
    note: str = ""


@dataclass(frozen=True)
class IssuePaper:
    """The whole list. `later` are those who get no clay yet, with the reason as `note`."""

    title: str
    day: str
    footer: str
    lines: Sequence[PaperLine]
    later: Sequence[PaperLine]
    total: str
    count: str
    bags: Sequence[str]
    enough: str


def issue_list_pdf(paper: IssuePaper, page: Page) -> bytes:
    return pdf(page, issue_list_sheets(paper, page), title=_("Clay to issue"))


def issue_list_sheets(paper: IssuePaper, page: Page) -> list[Sheet]:
    """The pages, laid out."""
    flow = Flow(
        page,
        title=_("Clay to issue"),
        subtitle=f"{paper.title} · {paper.day}",
        footer=paper.footer,
    )
    flow.add(
        Paragraph(
            _(
                "Weigh each lump, write what was handed out, and tick. At the end weigh what comes "
                "back. Then enter both on the screen."
            )
        )
    )
    if paper.lines:
        flow.add(_table(paper))
    else:
        flow.add(Paragraph(_("No pot waits for clay just now."), face=Face.BOLD))
    flow.add(heading(_("Which bags")), *(Paragraph(line) for line in paper.bags))
    flow.add(Paragraph(paper.enough, face=Face.BOLD))
    flow.add(_caution())
    if paper.later:
        flow.add(heading(_("No clay yet")), _later(paper))
    return flow.sheets()


def _table(paper: IssuePaper) -> Table:
    columns = [
        Column("", TICK_MM),
        Column(_("Code"), 18, face=Face.BOLD, size_pt=11),
        Column(_("Name")),
        Column(_("Weigh out"), 20, Align.RIGHT, face=Face.BOLD),
        Column(_("about"), 27, Align.RIGHT, size_pt=9),
        Column(_("Of a bag"), 15, Align.RIGHT),
        Column(_("Handed out"), 20),
        Column(_("Came back"), 20),
    ]
    rows: list[list[Cell]] = [
        [
            Tick(),
            line.code,
            line.name,
            line.weigh_out,
            line.between,
            line.of_a_bag,
            Blank(),
            Blank(),
        ]
        for line in paper.lines
    ]
    return Table(columns, rows, total=["", "", paper.count, paper.total, "", "", "", ""])


def _later(paper: IssuePaper) -> Table:
    columns = [Column(_("Code"), 18, face=Face.BOLD), Column(_("Name"), 50), Column(_("Why"))]
    return Table(columns, [[line.code, line.name, line.note] for line in paper.later])


def _caution() -> Caution:
    return Caution(
        _("Dust, plaster, lifting"),
        [
            _("Wipe up with a wet sponge; never sweep dry. Dry scrap is not crushed."),
            _("Keep plaster out of the bucket of leftovers."),
            _("Carry one bag at a time, close to the body; never a whole box."),
            _("Local rules and the school's own come first."),
        ],
    )
