"""The outline of the base at true size, to cut the slab by: seen from above, the front at the
top, the middle at (0, 0)."""

import shapely
from django.utils.translation import gettext as _
from shapely.geometry.base import BaseGeometry

from planning.geometry.foot import BaseOutline
from planning.geometry.inputs import FootRing
from planning.geometry.profile import Floats
from studio.paper.pages import Align, Face, Shape, Stroke, Words
from studio.paper.text import fitted, width_mm
from studio.units.scales import Units
from studio.web.shown import length_text

from .clock import HOURS, at_hours, front_up
from .profiles import CUT_MM, LABEL_PT, LINE_MM, SMALL_PT
from .truesize import Box, Line, TrueSize, room_of

ROUND_MM = 14.0
"""Room round the outline for the front mark and the hours."""

_CAP_MM = 1.1
_HALF_MOST, _CLEAR_MM = 0.375, 1.0


def base_drawing(
    outline: BaseOutline, ring: FootRing | None, units: Units, *, base_mm: float, name: str
) -> TrueSize:
    """`name` is the piece's code and whose it is; it stands in the middle."""
    edge = front_up(outline.points)
    path = tuple((x, y) for x, y in edge.tolist())
    (left, top), (right, bottom) = edge.min(axis=0).tolist(), edge.max(axis=0).tolist()
    lines: list[Line] = [Shape(path, width_mm=CUT_MM), *_middle()]
    below = [
        _("%(wide)s wide, %(deep)s deep, slab %(thick)s thick")
        % {
            "wide": length_text(right - left, units),
            "deep": length_text(bottom - top, units),
            "thick": length_text(base_mm, units),
        }
    ]
    inner = shapely.Polygon(path)
    if ring is not None:
        inner = shapely.buffer(inner, -ring.width_mm, quad_segs=64)
        for part in shapely.get_parts(inner):
            points = tuple((float(x), float(y)) for x, y in part.exterior.coords)
            lines.append(Shape(points[:-1], width_mm=0.25, dashed=True))
        said = _("dashed: inside of the foot ring, %(high)s high")
        below.append(said % {"high": length_text(ring.height_mm, units)})
    labels = []
    for words in (
        Words(0, 8.0, _("this side up"), LABEL_PT, align=Align.CENTRE),
        Words(0, -4.5, name, 11, Face.BOLD, Align.CENTRE),
    ):
        inside = fitted(words, _room_mm(inner, words))
        if inside.text == words.text:
            labels.append(inside)
        else:
            below.insert(0, words.text)
    labels += [
        Words(0, top - 8.5, _("front, 12 o’clock"), LABEL_PT, Face.BOLD, Align.CENTRE),
        *(
            Words(0, bottom + 12.0 + 4.4 * number, said, LABEL_PT, align=Align.CENTRE)
            for number, said in enumerate(below)
        ),
    ]
    for line, words in zip(*_hours(edge), strict=True):
        lines.append(line)
        labels.append(words)
    front = edge[0]
    lines.append(
        Shape(
            ((0.0, front[1] - 1.0), (-3.0, front[1] - 6.5), (3.0, front[1] - 6.5)),
            width_mm=0.0,
            fill=0.0,
        )
    )
    half = max(
        right + ROUND_MM, -left + ROUND_MM, *(width_mm(each, LABEL_PT) / 2 + 1 for each in below)
    )
    box = Box(-half, top - ROUND_MM, half, bottom + ROUND_MM + 4.4 * (len(below) - 1))
    return TrueSize(box, lines, labels, [*path, path[0]])


def _room_mm(inner: BaseGeometry, words: Words) -> float:
    """How wide words may be at their height without touching what is round the middle."""
    left, _top, right, _bottom = inner.bounds if not inner.is_empty else (0.0, 0.0, 0.0, 0.0)
    size = room_of(words)
    halves = [_HALF_MOST * (right - left)]
    for y in (size.top, size.bottom):
        level = shapely.LineString([(left - 1, y), (right + 1, y)])
        parts = shapely.get_parts(shapely.intersection(inner, level))
        middle = [each.bounds for each in parts if each.bounds[0] < 0 < each.bounds[2]]
        halves += [min(-box[0], box[2]) - _CLEAR_MM for box in middle] or [0.0]
    return max(2 * min(halves), 0.0)


def _middle() -> list[Line]:
    return [Stroke(-3, 0, 3, 0, LINE_MM), Stroke(0, -3, 0, 3, LINE_MM)]


def _hours(edge: Floats) -> tuple[list[Line], list[Words]]:
    """A tick and a number outside for each hour but 12, where the front mark is."""
    hours = range(1, HOURS)
    places, outwards = at_hours(edge, list(hours))
    ends = places + 3.0 * outwards
    tips = places + 5.5 * outwards
    ticks: list[Line] = [
        Stroke(x1, y1, x2, y2, 0.2)
        for (x1, y1), (x2, y2) in zip(places.tolist(), ends.tolist(), strict=True)
    ]
    numbers = [
        Words(x, y + _CAP_MM, str(hour), SMALL_PT, align=Align.CENTRE)
        for hour, (x, y) in zip(hours, tips.tolist(), strict=True)
    ]
    return ticks, numbers
