"""A firing's program on paper: its table and its curve over time. Values in, blocks out."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from studio.paper.blocks import Drawing
from studio.paper.pages import Align, Mark, Shape, Stroke, Words
from studio.paper.tables import Column, Table

SCALE_MM, CLOCK_MM, LABEL_PT = 15.0, 6.0, 8.5
GREY = 0.6


@dataclass(frozen=True)
class SegmentPrint:
    rate: str
    target: str
    hold: str
    done_at: str


@dataclass(frozen=True)
class CurvePrint:
    """`points` are (hours from the start, °C); the marks name some of the hours and degrees."""

    points: Sequence[tuple[float, float]]
    hours: Sequence[tuple[float, str]]
    degrees: Sequence[tuple[float, str]]


def program_table(segments: Sequence[SegmentPrint], row_mm: float, text_pt: float) -> Table:
    """As it stands in the controller, line by line."""
    columns = [
        Column("", 4, Align.RIGHT),
        Column(_("rate"), 14, size_pt=text_pt),
        Column(_("to"), 13, size_pt=text_pt),
        Column(_("then hold"), 15, size_pt=text_pt),
        Column(_("done at about"), size_pt=text_pt),
    ]
    rows = [
        [str(number), each.rate, each.target, each.hold, each.done_at]
        for number, each in enumerate(segments, 1)
    ]
    return Table(columns, rows, row_mm=row_mm, after_mm=1.5, pad_mm=0.2, gutter_mm=2.0)


def program_curve(curve: CurvePrint, high_mm: float, room_mm: float) -> Drawing:
    """Temperature over time; the scale stands to its left, the clock below."""
    long_h = max(hours for hours, _c in curve.points)
    degrees = [*(c for _h, c in curve.points), *(c for c, _text in curve.degrees)]
    low_c, over_c = min(degrees), max(degrees) - min(degrees)
    wide_mm, scale_mm = room_mm - SCALE_MM - 5, high_mm - CLOCK_MM - 1.5

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        left_mm, foot_mm = x_mm + SCALE_MM, y_mm + 1.5 + scale_mm

        def at(hours: float, temp_c: float) -> tuple[float, float]:
            up_mm = (temp_c - low_c) / over_c * scale_mm
            return left_mm + hours / long_h * wide_mm, foot_mm - up_mm

        marks: list[Mark] = []
        for temp_c, text in curve.degrees:
            _x, level_mm = at(0, temp_c)
            marks += [
                Stroke(left_mm, level_mm, left_mm + wide_mm, level_mm, 0.15, grey=GREY),
                Words(left_mm - 2, level_mm + 1, text, LABEL_PT, align=Align.RIGHT),
            ]
        for hours, text in curve.hours:
            across_mm, _y = at(hours, low_c)
            marks += [
                Stroke(across_mm, foot_mm - scale_mm, across_mm, foot_mm, 0.15, grey=GREY),
                Words(across_mm, foot_mm + 4.5, text, LABEL_PT, align=Align.CENTRE),
            ]
        line = tuple(at(hours, temp_c) for hours, temp_c in curve.points)
        return [*marks, Shape(line, closed=False, width_mm=0.7)]

    return Drawing(high_mm, draw, after_mm=2)
