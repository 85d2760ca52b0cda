"""The side of a pot at true size: the template to cut from card, and the whole plan.

Both stand on the table at y = 0 with the axis at x = 0, heights upwards as negative y.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from django.utils.translation import gettext as _

from planning.geometry.form import Form
from planning.geometry.lines import HeightLine
from planning.geometry.profile import Floats
from planning.rows.rows import Row, RowList
from studio.paper.pages import Align, Face, Shape, Stroke, Words
from studio.units.scales import Units
from studio.web.shown import length_text, short_day_text

from .sides import Place, Side, View, both_sides, mean_side
from .truesize import Box, Line, TrueSize, room_of

GAUGE_MM = 45.0
"""Card beyond the widest place, to hold the template by."""

LEFT_MM, RIGHT_MM = 18.0, 42.0
"""Room for words beside the whole plan."""

ABOVE_MM, BELOW_MM = 7.0, 5.0
CUT_MM, LINE_MM = 0.5, 0.15
LABEL_PT, SMALL_PT = 9.0, 8.0
_CROWDED_MM, _OVER_MM = 4.2, 1.0
_CAP_MM = 1.0  # half the height of a capital, to set words level with a mark


@dataclass(frozen=True)
class Marks:
    """What is marked on a side: height lines, the tops of rows, and the dates they are due."""

    heights: Sequence[HeightLine]
    rows: Sequence[Row]
    due: dict[int, date]

    @staticmethod
    def of(heights: Sequence[HeightLine], listed: RowList) -> "Marks":
        return Marks(heights, listed.rows, {each.row: each.on for each in listed.reached})


def profile_template(made: Form, marks: Marks, units: Units, *, view: View, name: str) -> TrueSize:
    """Half the profile with its axis. `name` stands on the piece that is held to the pot."""
    side = mean_side(made, view)
    points = side.points()
    rim, widest = made.surface.height, float(points[:, 0].max())
    edge = widest + GAUGE_MM
    lines: list[Line] = [
        Stroke(0, BELOW_MM, 0, -rim - ABOVE_MM, LINE_MM, dashed=True),
        Stroke(0, 0, points[0, 0], 0, 0.3),
        Stroke(points[0, 0], 0, edge, 0, CUT_MM),
        Stroke(0, -rim, points[-1, 0], -rim, 0.3),
        Stroke(points[-1, 0], -rim, edge, -rim, CUT_MM),
        Stroke(edge, 0, edge, -rim, CUT_MM),
        _curve(points),
    ]
    labels = [
        Words(1.5, -rim - 5.0, _("axis"), SMALL_PT),
        Words(edge, BELOW_MM - 1.2, _("table"), SMALL_PT, align=Align.RIGHT),
        Words(edge - 1.5, -2.2, name, LABEL_PT, Face.BOLD, Align.RIGHT),
    ]
    for each in marks.heights[1:]:
        level = -each.height_mm
        if each is not marks.heights[-1]:
            lines.append(Stroke(0, level, edge, level, LINE_MM, grey=0.35))
    for each, said in _height_labels(marks.heights, units):
        labels.append(_above(edge - 1.5, -each.height_mm, said, LABEL_PT, Align.RIGHT))
        width = _above(2.0, -each.height_mm, _width_said(each, view, units), SMALL_PT)
        if room_of(width).right + 2.0 <= side.half_width(each.height_mm):
            labels.append(width)
    for stroke, words in _row_tops(side, marks, flip=False):
        lines.append(stroke)
        labels.append(words)
    box = Box(-2.0, -rim - ABOVE_MM, edge + 1.0, BELOW_MM)
    contour = [(0.0, 0.0), *_path(points), (0.0, -rim)]
    return TrueSize(box, lines, labels, contour)


def whole_plan(made: Form, marks: Marks, units: Units, *, view: View) -> TrueSize:
    """Left and right of the axis as drawn, with the half-width of each at the height lines."""
    left, right = both_sides(made, view)
    left_points, right_points = left.points(), right.points()
    rim = made.surface.height
    out_left = float(left_points[:, 0].max()) + LEFT_MM
    out_right = float(right_points[:, 0].max()) + RIGHT_MM
    lines: list[Line] = [
        Stroke(0, BELOW_MM, 0, -rim - ABOVE_MM, LINE_MM, dashed=True),
        Stroke(-out_left, 0, out_right, 0, CUT_MM),
        Stroke(-left_points[-1, 0], -rim, right_points[-1, 0], -rim, 0.3),
        Stroke(
            -left.half_width(made.base_mm),
            -made.base_mm,
            right.half_width(made.base_mm),
            -made.base_mm,
            0.2,
            dashed=True,
        ),
        _curve(left_points * (-1, 1)),
        _curve(right_points),
    ]
    labels = [
        Words(1.5, -rim - 5.0, _("axis"), SMALL_PT),
        Words(out_right, BELOW_MM - 1.2, _("table"), SMALL_PT, align=Align.RIGHT),
        Words(
            -1.5,
            -made.base_mm / 2 + _CAP_MM,
            _("slab %(thick)s") % {"thick": length_text(made.base_mm, units)},
            SMALL_PT,
            align=Align.RIGHT,
        ),
    ]
    for each in marks.heights[1:]:
        level = -each.height_mm
        lines.append(Stroke(-out_left, level, out_right, level, LINE_MM, grey=0.35))
    for each, said in _height_labels(marks.heights, units):
        level = -each.height_mm
        labels.append(_above(-out_left + 0.6, level, said, LABEL_PT))
        labels.append(_above(out_right - 0.6, level, said, LABEL_PT, Align.RIGHT))
        halves = (length_text(side.half_width(each.height_mm), units) for side in (left, right))
        labels.append(_above(-2.0, level, next(halves), SMALL_PT, Align.RIGHT))
        labels.append(_above(2.0, level, next(halves), SMALL_PT))
    for stroke, words in _row_tops(right, marks, flip=False):
        lines.append(stroke)
        labels.append(words)
    lines += [stroke for stroke, _words in _row_tops(left, marks, flip=True)]
    box = Box(-out_left, -rim - ABOVE_MM, out_right, BELOW_MM)
    down_the_left = [(-x, y) for x, y in reversed(_path(left_points))]
    return TrueSize(box, lines, labels, [*down_the_left, *_path(right_points)])


def _curve(points: Floats) -> Shape:
    return Shape(tuple(_path(points)), closed=False, width_mm=CUT_MM)


def _path(points: Floats) -> list[tuple[float, float]]:
    return [(out, -height) for out, height in points.tolist()]


def _height_labels(heights: Sequence[HeightLine], units: Units) -> Iterator[tuple[HeightLine, str]]:
    """The lines above the table that have room for words; the rim always has."""
    *between, rim = heights
    for each in between[1:]:
        if rim.height_mm - each.height_mm >= _CROWDED_MM:
            yield each, length_text(each.height_mm, units)
    yield rim, _("rim %(height)s") % {"height": length_text(rim.height_mm, units)}


def _width_said(each: HeightLine, view: View, units: Units) -> str:
    if view == "side":
        return _("%(length)s deep") % {"length": length_text(each.depth_mm, units)}
    return _("%(length)s wide") % {"length": length_text(each.front_mm, units)}


def _above(
    x_mm: float, level_mm: float, said: str, size_pt: float, align: Align = Align.LEFT
) -> Words:
    """Words just above a level line."""
    return Words(x_mm, level_mm - _OVER_MM, said, size_pt, align=align)


def _row_tops(side: Side, marks: Marks, *, flip: bool) -> Iterator[tuple[Stroke, Words]]:
    """A tick across the side at each row's top, its number outside; longer and with its day where
    the wall is to stand here by then."""
    level = -side.surface.height - _OVER_MM
    for row in marks.rows:
        tick, words = _tick(side.at_top_of(row), row.row, marks.due.get(row.row), flip=flip)
        # The last row ends at the rim, whose line would run through its words.
        yield tick, replace(words, y_mm=min(words.y_mm, level)) if row is marks.rows[-1] else words


def _tick(place: Place, number: int, due: date | None, *, flip: bool) -> tuple[Stroke, Words]:
    x, y = place.out_mm, -place.height_mm
    across, up = place.outwards
    reach = 10.0 if due else 5.0
    sign = -1 if flip else 1
    stroke = Stroke(
        sign * (x - 2.0 * across),
        y + 2.0 * up,
        sign * (x + reach * across),
        y - reach * up,
        0.35 if due else 0.2,
    )
    said = f"{number} · {short_day_text(due)}" if due else str(number)
    face = Face.BOLD if due else Face.TEXT
    tip_x, tip_y = x + (reach + 1.2) * across, y - (reach + 1.2) * up
    return stroke, Words(tip_x, tip_y + _CAP_MM, said, SMALL_PT, face)
