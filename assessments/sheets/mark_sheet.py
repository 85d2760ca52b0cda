"""The mark sheet of a class: who got which level, on one table. Values in, bytes out."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from studio.paper.blocks import Paragraph, heading
from studio.paper.flow import Flow
from studio.paper.pages import Align, Face, Page, Sheet
from studio.paper.pdf import pdf
from studio.paper.tables import Column, Table

CODE_MM, TOTAL_MM, MOST_LEVEL_MM, LEAST_LEVEL_MM = 17.0, 19.0, 26.0, 9.0
NAME_MM, STATE_MM = 38.0, 26.0
GUTTER_MM = 4.0


@dataclass(frozen=True)
class CriterionKey:
    """A criterion in the legend: `letter` heads its column."""

    letter: str
    title: str
    weight: str
    levels: Sequence[tuple[str, str]]
    """Points and descriptor, the best first."""


@dataclass(frozen=True)
class StudentLine:
    """`points` by criterion: figures, a dash while open, a word where exempt."""

    name: str
    code: str
    points: Sequence[str]
    total: str
    state: str


@dataclass(frozen=True)
class MarkSheet:
    title: str
    subtitle: str
    footer: str
    rubric: str
    criteria: Sequence[CriterionKey]
    students: Sequence[StudentLine]
    summary: str


def mark_sheet_pdf(sheet: MarkSheet, page: Page) -> bytes:
    return pdf(page, mark_sheets(sheet, page), title=sheet.title)


def mark_sheets(sheet: MarkSheet, page: Page) -> list[Sheet]:
    """The table first, then the legend: what each letter and level means."""
    flow = Flow(page, title=sheet.title, subtitle=sheet.subtitle, footer=sheet.footer)
    if not sheet.students:
        flow.add(Paragraph(_("Nobody in this class has a piece yet.")))
        return flow.sheets()
    flow.add(Paragraph(sheet.summary))
    flow.add(_table(sheet, flow.room_mm))
    flow.add(heading(sheet.rubric))
    flow.add(Paragraph(_legend_note()))
    for each in sheet.criteria:
        flow.add(*_legend(each))
    return flow.sheets()


def _table(sheet: MarkSheet, room_mm: float) -> Table:
    used_mm = NAME_MM + CODE_MM + TOTAL_MM + STATE_MM + GUTTER_MM * (3 + len(sheet.criteria))
    each_mm = (room_mm - used_mm) / max(len(sheet.criteria), 1)
    level_mm = max(LEAST_LEVEL_MM, min(MOST_LEVEL_MM, each_mm))
    columns = [
        Column(_("Student"), lines=2),
        Column(_("Code"), CODE_MM, face=Face.BOLD),
        *(Column(each.letter, level_mm, Align.RIGHT) for each in sheet.criteria),
        Column(_("Total"), TOTAL_MM, Align.RIGHT, face=Face.BOLD),
        Column(_("State"), STATE_MM, size_pt=9, lines=2),
    ]
    rows = [[each.name, each.code, *each.points, each.total, each.state] for each in sheet.students]
    return Table(columns, rows)


def _legend_note() -> str:
    return _(
        "Figures are the points of a level; the total counts each by its weight. "
        "A dash is a criterion that is not judged yet: it is no zero, and there is no total."
    )


def _legend(key: CriterionKey) -> list[Paragraph | Table]:
    title = _("%(letter)s: %(title)s, weight %(weight)s") % {
        "letter": key.letter,
        "title": key.title,
        "weight": key.weight,
    }
    columns = [Column(_("Points"), 14, Align.RIGHT, size_pt=9.5), Column("", size_pt=9.5, lines=16)]
    rows = [[points, descriptor] for points, descriptor in key.levels]
    return [heading(title, size_pt=11), Table(columns, rows, row_mm=6.0, whole=True)]
