"""The marks of a class as a table for a spreadsheet. Values in, bytes out."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from .cells import csv_text, safe

BOM = "\ufeff"  # without it some spreadsheets take UTF-8 for something else


@dataclass(frozen=True)
class CriterionMark:
    """`level` counts from 1, the lowest; both are "" while it is open. `points` may be a word."""

    level: str
    points: str


@dataclass(frozen=True)
class StudentMarks:
    """One row; figures as text with a point, `total` is "" while something is open."""

    family_name: str
    given_name: str
    code: str
    criteria: Sequence[CriterionMark]
    total: str
    most: str
    open: str
    marker: str
    released: str


def marks_csv(titles: Sequence[str], rows: Sequence[StudentMarks]) -> bytes:
    """`titles` are the criteria; each has a column for its level and one for its points."""
    columns = [f"{title}: {what}" for title in titles for what in (_("level"), _("points"))]
    header = [
        _("Family name"),
        _("Given name"),
        _("Code"),
        *columns,
        _("Total"),
        _("Of"),
        _("Open criteria"),
        _("Marked by"),
        _("Released on"),
    ]
    table = [
        [
            row.family_name,
            row.given_name,
            row.code,
            *(cell for each in row.criteria for cell in (each.level, each.points)),
            row.total,
            row.most,
            row.open,
            row.marker,
            row.released,
        ]
        for row in rows
    ]
    cells = [[safe(cell) for cell in line] for line in table]
    return (BOM + csv_text([safe(each) for each in header], cells)).encode()
