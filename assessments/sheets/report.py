"""A student's report on one page: the pot, the levels with their words, and what they rest on."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from studio.paper.blocks import Beside, Block, Drawing, Headless, Paragraph, Part, space
from studio.paper.flow import Flow
from studio.paper.pages import Face, Mark, Page, Sheet
from studio.paper.pdf import pdf
from studio.paper.silhouettes import Sample, one_scale, silhouette
from studio.paper.tables import Column, Table

POT_MM, POT_WIDE_MM = 52.0, 62.0
ROOMY, TIGHT = (10.0, 9.5), (9.0, 9.0)
"""Sizes of the levels' words and of the evidence; the tight ones where a page would overflow."""
MOST_SAID = (4, 2, 1, 0)
"""How many sentences of evidence stand beside a criterion, until the page holds them."""


@dataclass(frozen=True)
class CriterionLine:
    """`points` are a figure of another, or words where it is open or exempt."""

    title: str
    points: str
    descriptor: str
    note: str
    evidence: Sequence[str]


@dataclass(frozen=True)
class Report:
    name: str
    code: str
    subtitle: str
    total: str
    reason: str
    criteria: Sequence[CriterionLine]
    comment: str
    lost: str
    silhouette: Sequence[Sample]
    stage: str
    footer: str


def reports_pdf(reports: Sequence[Report], page: Page) -> bytes:
    """One after the other, each on its own page and numbered by itself."""
    sheets = [sheet for each in reports for sheet in report_sheets(each, page)]
    return pdf(page, sheets, title=_("Student reports"))


def report_sheets(report: Report, page: Page) -> list[Sheet]:
    """One page, for which evidence is shortened; levels and comment never are, so that a teacher
    who writes much gets a second one.
    """
    sheets: list[Sheet] = []
    for sizes, most in ((ROOMY, MOST_SAID[0]), *((TIGHT, each) for each in MOST_SAID)):
        sheets = _laid_out(report, page, sizes, most)
        if len(sheets) == 1:
            return sheets
    return sheets


def _laid_out(
    report: Report, page: Page, sizes: tuple[float, float], most_said: int
) -> list[Sheet]:
    flow = Flow(page, title=report.name, subtitle=report.subtitle, footer=report.footer)
    flow.add(Beside([_picture(report), _Stack(_top(report))]))
    if report.comment:
        flow.add(Paragraph(report.comment, 10.5, after_mm=5.0))
    flow.add(_levels(report, sizes, most_said))
    return flow.sheets()


@dataclass(frozen=True)
class _Stack(Headless):
    """Blocks one under another as one block, to stand beside a picture."""

    blocks: Sequence[Paragraph]
    after_mm: float = 0.0
    keep: bool = False
    whole: bool = True

    def parts(self, room_mm: float) -> list[Part]:
        found: list[Part] = []
        for block in self.blocks:
            found += [*block.parts(room_mm), space(block.after_mm)]
        return found


def _picture(report: Report) -> Block:
    """The planned outline with the clay as the pot is now; nothing where there was no plan."""
    samples = report.silhouette
    if not samples:
        return Paragraph(_("No plan was sent, so there is no outline to show."), 9.5)
    scale = one_scale([samples], tallest_mm=POT_MM - 4, widest_mm=POT_WIDE_MM)

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        return silhouette(
            samples,
            x_mm=x_mm + POT_WIDE_MM / 2,
            base_y_mm=y_mm + POT_MM - 2,
            scale=scale,
            stage=report.stage,
        )

    return Drawing(POT_MM, draw)


def _top(report: Report) -> list[Paragraph]:
    said = [Paragraph(report.code, 13, Face.BOLD), Paragraph(report.total, 13, Face.TITLE)]
    if report.reason:
        again = _("Marked again: %(reason)s") % {"reason": report.reason}
        said.append(Paragraph(again, 9.5))
    if report.lost:
        said.append(Paragraph(report.lost, 9.5))
    return said


def _levels(report: Report, sizes: tuple[float, float], most_said: int) -> Table:
    words_pt, said_pt = sizes
    columns = [
        Column(_("Judged"), 34, face=Face.BOLD, size_pt=words_pt, lines=4),
        Column(_("Points"), 17, size_pt=words_pt, lines=3),
        Column(_("What the work shows"), size_pt=words_pt, lines=40),
    ]
    if most_said:
        columns.append(Column(_("What was recorded"), 62, size_pt=said_pt, lines=40))
    rows = [
        [
            each.title,
            each.points,
            "\n".join(filter(None, (each.descriptor, each.note))),
            *(["\n".join(each.evidence[:most_said])] if most_said else []),
        ]
        for each in report.criteria
    ]
    return Table(columns, rows)
