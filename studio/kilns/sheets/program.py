"""A firing's program on paper: its table, its curve over time, and the log beside which it is read.
Values in, blocks out.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from studio.paper.blocks import Beside, Block, Drawing, Paragraph, heading
from studio.paper.pages import Align, Face, Mark, Shape, Stroke, Words
from studio.paper.tables import Blank, Cell, Column, Table

SEGMENT_MM, LOG_ROW_MM, SPARE_ROWS = 6.5, 7.6, 3
CURVE_MM, SCALE_MM, CLOCK_MM, LABEL_PT = 58.0, 16.0, 6.0, 8.5
GREY, GAP_MM = 0.6, 8.0


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


@dataclass(frozen=True)
class HourPrint:
    """One hour of the log: when it is, and what the program says then."""

    clock: str
    temperature: str


def program_blocks(
    segments: Sequence[SegmentPrint], curve: CurvePrint, cone: str, beside: Block, room_mm: float
) -> list[Block]:
    """Table and curve, the curve beside another block."""
    columns = [
        Column("", 6, Align.RIGHT),
        Column(_("Heat or cool by"), 38),
        Column(_("to"), 28),
        Column(_("then hold"), 28),
        Column(_("done at about")),
    ]
    rows = [
        [str(number), each.rate, each.target, each.hold, each.done_at]
        for number, each in enumerate(segments, 1)
    ]
    return [
        heading(_("The program, as it stands in the controller")),
        Table(columns, rows, row_mm=SEGMENT_MM, after_mm=2),
        Paragraph(cone, after_mm=2),
        Beside([_drawn(curve, (room_mm - GAP_MM) / 2), beside], gap_mm=GAP_MM),
    ]


def log_table(hours: Sequence[HourPrint]) -> Table:
    """A line for each hour, and some for what happens between them."""
    columns = [
        Column(_("Planned hour"), 34, face=Face.BOLD),
        Column(_("By the program"), 24, Align.RIGHT),
        Column(_("Read at"), 19),
        Column(_("°C read"), 19),
        Column(_("Initials"), 18),
        Column(_("Remark: cones, sounds, smell")),
    ]
    blank = Blank(LOG_ROW_MM - 2.4)
    rows: list[list[Cell]] = [[each.clock, each.temperature, *[blank] * 4] for each in hours]
    rows += [["", "", *[blank] * 4] for _row in range(SPARE_ROWS)]
    return Table(columns, rows, row_mm=LOG_ROW_MM)


def _drawn(curve: CurvePrint, room_mm: float) -> Drawing:
    """Temperature over time; the scale stands to its left, the clock below."""
    long_h = max(hours for hours, _c in curve.points)
    degrees = [*(c for _h, c in curve.points), *(c for c, _text in curve.degrees)]
    low_c, over_c = min(degrees), max(degrees) - min(degrees)
    wide_mm, high_mm = room_mm - SCALE_MM - 5, CURVE_MM - CLOCK_MM - 3

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        left_mm, foot_mm = x_mm + SCALE_MM, y_mm + 3 + high_mm

        def at(hours: float, temp_c: float) -> tuple[float, float]:
            up_mm = (temp_c - low_c) / over_c * high_mm
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
                Stroke(across_mm, foot_mm - high_mm, across_mm, foot_mm, 0.15, grey=GREY),
                Words(across_mm, foot_mm + 4.5, text, LABEL_PT, align=Align.CENTRE),
            ]
        line = tuple(at(hours, temp_c) for hours, temp_c in curve.points)
        return [*marks, Shape(line, closed=False, width_mm=0.7)]

    return Drawing(CURVE_MM, draw, after_mm=4)
