"""The seam clock drawn: the base small, and at each hour the rows whose seams lie there."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from django.utils.translation import gettext as _

from planning.geometry.foot import BaseOutline
from planning.rows.rows import Row
from studio.paper.pages import Align, Face, Mark, Shape, Stroke, Words
from studio.paper.text import line_mm
from studio.web.shown import seam_hour_text

from .clock import HOURS, at_hours, front_up

ACROSS_MM = 30.0
HIGH_MM = 61.0
_PT = 10.0
_EACH_LINE = 4
_LEVEL = 0.35


def seams_said(row: Row) -> str:
    return " · ".join(seam_hour_text(each) for each in row.seams)


def seam_clock(outline: BaseOutline, rows: Sequence[Row], x_mm: float, y_mm: float) -> list[Mark]:
    """About its middle (x_mm, y_mm)."""
    edge = front_up(outline.points)
    by = ACROSS_MM / float((edge.max(axis=0) - edge.min(axis=0)).max())
    middle = (edge.max(axis=0) + edge.min(axis=0)) / 2
    ring = (edge - middle) * by + (x_mm, y_mm)
    top = float(ring[0, 1])
    marks: list[Mark] = [
        Shape(tuple((x, y) for x, y in ring.tolist()), width_mm=0.4),
        Shape(((x_mm, top + 0.8), (x_mm - 2, top + 5), (x_mm + 2, top + 5)), width_mm=0, fill=0),
        Words(x_mm, top + 9.0, _("front"), 9, align=Align.CENTRE),
    ]
    places = _rows_by_hour(rows)
    points, outwards = at_hours(ring, list(places))
    for (x, y), (out, down), numbers in zip(
        points.tolist(), outwards.tolist(), places.values(), strict=True
    ):
        marks.append(Stroke(x, y, x + 2.5 * out, y + 2.5 * down, 0.3))
        marks += _numbers(numbers, x + 4.0 * out, y + 4.0 * down, (out, down))
    return marks


def _rows_by_hour(rows: Iterable[Row]) -> dict[float, list[int]]:
    """Row numbers by the hour of their seams, to a quarter of an hour, in order."""
    found: dict[float, list[int]] = defaultdict(list)
    for row in rows:
        for seam in row.seams:
            found[round(seam * 4) % (HOURS * 4) / 4].append(row.row)
    return dict(sorted(found.items()))


def _numbers(
    numbers: Sequence[int], x: float, y: float, outwards: tuple[float, float]
) -> list[Mark]:
    lines = [
        ", ".join(map(str, numbers[first : first + _EACH_LINE]))
        for first in range(0, len(numbers), _EACH_LINE)
    ]
    high = line_mm(_PT)
    out, down = outwards
    align = Align.CENTRE if abs(out) < _LEVEL else Align.LEFT if out > 0 else Align.RIGHT
    first = y - len(lines) * high * (1 - down) / 2 + 0.75 * high
    return [
        Words(x, first + number * high, line, _PT, Face.BOLD, align)
        for number, line in enumerate(lines)
    ]
