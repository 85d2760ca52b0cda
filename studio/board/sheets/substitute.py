"""For whoever takes a class that is not theirs. Read in a minute, without having seen the program.

The first page says what the lesson is, how it goes, what nobody does and whom to call; then every
student has a line. Text in, bytes out.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from studio.paper.blocks import Beside, Block, Caution, Paragraph, heading
from studio.paper.flow import Flow
from studio.paper.pages import Face, Page, Sheet
from studio.paper.pdf import pdf
from studio.paper.tables import Blank, Cell, Column, Table, Tick

from .cover_list import how_to_wrap

MARGIN_MM = 10.0
TEXT_PT, ROW_PT = 9.5, 9.0
ROW_MM = 6.0


@dataclass(frozen=True)
class StudentLine:
    """One pot, or a student without one. `clay` is its stage in words; `wrap`: it stays damp."""

    name: str
    code: str
    place: str
    clay: str
    now: str
    wrap: bool


@dataclass(frozen=True)
class Person:
    """Of the studio's staff, with full name and role."""

    name: str
    role: str


@dataclass(frozen=True)
class SubstitutePaper:
    """`meanings` explain the steps and words that occur in the lines; `damp` says how many pots
    are wrapped at the end and for how long, `damp_by_place` which."""

    section: str
    subtitle: str
    footer: str
    lines: Sequence[StudentLine]
    meanings: Sequence[str]
    damp: str
    damp_by_place: Sequence[str]
    people: Sequence[Person]


def substitute_pdf(paper: SubstitutePaper, page: Page) -> bytes:
    return pdf(page, substitute_sheets(paper, page), title=_("Substitute's sheet"))


def substitute_sheets(paper: SubstitutePaper, page: Page) -> list[Sheet]:
    """The pages, laid out."""
    title = _("For whoever takes %(section)s") % {"section": paper.section}
    flow = Flow(
        page, title=title, subtitle=paper.subtitle, footer=paper.footer, margin_mm=MARGIN_MM
    )
    flow.add(
        _said(
            _(
                "Each student builds one pot from coils of clay. This sheet says where each pot "
                "stands and what its maker can do today."
            )
        ),
        _to_write(),
        heading(_("How the lesson goes"), size_pt=12),
        *_steps(paper),
        _must_nots(),
        heading(_("Whom to call"), size_pt=12),
        _people(paper.people),
    )
    if paper.lines:
        flow.add(heading(_("Who has which pot, and where"), size_pt=12), _lines(paper.lines))
    else:
        flow.add(_said(_("Nobody is in this class yet.")))
    return flow.sheets()


def _said(text: str, *, after_mm: float = 2.0) -> Paragraph:
    return Paragraph(text, TEXT_PT, after_mm=after_mm)


def _to_write() -> Block:
    room = Table([Column(_("Room and hours"))], [[Blank(6.5)]], row_mm=6, after_mm=0)
    wish = Table(
        [Column(_("What the teacher adds for today"))], [[Blank(6.5)]], row_mm=6, after_mm=0
    )
    return Beside([room, wish], after_mm=2.5)


def _steps(paper: SubstitutePaper) -> list[Block]:
    begin = _(
        "Start: tick who is here. Students fetch a wet or leather-hard pot by the code on its "
        "label and underside, both hands under the board, never by the rim. Other pots stay put."
    )
    during = _(
        "Then: each does what the list says. Whoever has to wait draws their pot where it stands. "
        "Only staff of the studio hand out clay. If a pot breaks, its parts stay on the board with "
        "the label: write it down."
    )
    end = _(
        "End, 15 minutes before: pots back where they stood, scraps into the bucket, tables wiped "
        "with a wet sponge, hands washed."
    )
    damp = f"{paper.damp} {how_to_wrap()}" if paper.damp_by_place else paper.damp
    return [
        *(_said(text, after_mm=1.0) for text in (begin, during, *paper.meanings, end)),
        Paragraph(damp, TEXT_PT, Face.BOLD, after_mm=0.6),
        _said(" ".join(paper.damp_by_place), after_mm=3.0),
    ]


def _must_nots() -> Caution:
    """The usual cautions of a clay room; its own rules come first."""
    return Caution(
        _("What nobody does. Local rules and the school's own come first"),
        [
            _(
                "The kiln room stays locked. Nobody loads, unloads, opens or switches a kiln, "
                "whatever its display says."
            ),
            _(
                "No dry sweeping, no sanding or scraping of dry clay: its dust harms the lungs. "
                "Wet sponge, wet mop."
            ),
            _(
                "Plaster never gets into clay or scraps. No glaze is mixed, stirred up or sprayed; "
                "glazed pots are not touched."
            ),
            _(
                "Nobody lifts whole boxes of clay: staff carry one bag at a time, close to the "
                "body. Nobody eats or drinks in the room."
            ),
        ],
        size_pt=TEXT_PT,
        after_mm=2.5,
    )


def _people(people: Sequence[Person]) -> Block:
    """Two halves, each with a line to write on behind every name."""
    rows: list[list[Cell]] = [
        [_("%(name)s, %(role)s") % {"name": each.name, "role": each.role}, Blank(5)]
        for each in people
    ]
    rows.append([_("First aid, school office"), Blank(5)])
    half = (len(rows) + 1) // 2
    columns = [Column(_("Who"), size_pt=TEXT_PT), Column(_("Number"), 34)]
    halves = [rows[:half], rows[half:]]
    return Beside(
        [Table(columns, each, row_mm=ROW_MM, after_mm=0) for each in halves], after_mm=3.5
    )


def _lines(lines: Sequence[StudentLine]) -> Table:
    columns = [
        Column(_("Here"), 7.5),
        Column(_("Name"), 26, face=Face.BOLD, size_pt=ROW_PT),
        Column(_("Code"), 16, face=Face.BOLD, size_pt=ROW_PT),
        Column(_("Where"), 30, size_pt=ROW_PT),
        Column(_("The clay is"), 19, size_pt=ROW_PT),
        Column(_("What to do now"), size_pt=ROW_PT),
        Column(_("Wrapped"), 14),
    ]
    rows: list[list[Cell]] = [
        [
            Tick(),
            line.name,
            line.code,
            line.place,
            line.clay,
            line.now,
            Tick() if line.wrap else "",
        ]
        for line in lines
    ]
    return Table(columns, rows, row_mm=ROW_MM, after_mm=3.0)
