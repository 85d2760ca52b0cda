"""The log of a firing on paper: a line for each hour, and some for what happens between them."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from django.utils.translation import gettext as _
from reportlab.lib.units import mm

from studio.paper.blocks import Drawing
from studio.paper.pages import Align, Face, Mark, Stroke, Words
from studio.paper.text import CAPITAL, fitted

DAY_MM, HEAD_MM = 4.0, 4.6
TEXT_PT, HEAD_PT = 9.0, 8.0
HOUR_MM, DEGREES_MM = 11.0, 14.0
"""Where the planned hour and the program's temperature end, from the left."""
COLUMNS_MM = (13.0, 13.5, 11.5)
"""Read at, °C read, initials; the remark has what is left."""
GREY = 0.5


@dataclass(frozen=True)
class HourPrint:
    """One hour of the log: when it is, and what the program says then."""

    day: str
    clock: str
    temperature: str


Row = HourPrint | str | None
"""An hour, the day that begins, or a line that is free."""


def log_rows(hours: Sequence[HourPrint], spare: int) -> list[Row]:
    """The lines in order, some of them free; a day stands above its first hour."""
    rows: list[Row] = []
    day = ""
    for each in hours:
        if each.day != day:
            rows.append(each.day)
            day = each.day
        rows.append(each)
    return [*rows, *[None] * spare]


def carried_on(rows: Sequence[Row], before: Sequence[Row]) -> list[Row]:
    """The lines that follow others, under the day in which those end."""
    if not rows or not before or isinstance(rows[0], str):
        return list(rows)
    day = next((row for row in reversed(before) if isinstance(row, str)), "")
    return [_("%(day)s, continued") % {"day": day}, *rows]


def howmany_fit(rows: Sequence[Row], row_mm: float, room_mm: float) -> int:
    """How many of the first lines have room with their head; none ends in a day without an hour."""
    used_mm, fits = HEAD_MM, 0
    for number, row in enumerate(rows, 1):
        used_mm += _high_mm(row, row_mm)
        if used_mm > room_mm + 1e-6:
            break
        if not isinstance(row, str):
            fits = number
    return fits


def log_block(rows: Sequence[Row], row_mm: float, room_mm: float) -> Drawing:
    """Lines to write on, ruled across and down."""
    highs = [_high_mm(row, row_mm) for row in rows]

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        edges = _edges(x_mm, room_mm)
        marks: list[Mark] = [*_head(x_mm, y_mm, edges, room_mm)]
        at_mm = y_mm + HEAD_MM
        for row, high_mm in zip(rows, highs, strict=True):
            marks += _line(row, x_mm, at_mm, high_mm, edges)
            at_mm += high_mm
        return marks

    return Drawing(HEAD_MM + sum(highs), draw)


def _edges(x_mm: float, room_mm: float) -> list[float]:
    """Where the columns to write in begin, and the right end of the last."""
    found = [x_mm + DEGREES_MM + HOUR_MM + 2]
    for wide_mm in COLUMNS_MM:
        found.append(found[-1] + wide_mm)
    return [*found, x_mm + room_mm]


def _head(x_mm: float, y_mm: float, edges: Sequence[float], room_mm: float) -> list[Mark]:
    base_mm, under_mm = y_mm + 3.2, y_mm + HEAD_MM
    titles = [_("read at"), _("°C read"), _("initials"), _("remarks")]
    words = [
        Words(x_mm, base_mm, _("planned"), HEAD_PT, Face.BOLD),
        *(
            Words(at + 1, base_mm, each, HEAD_PT, Face.BOLD)
            for at, each in zip(edges, titles, strict=False)
        ),
    ]
    rooms = [edges[0] - x_mm - 1, *(right - at - 1.5 for at, right in pairwise(edges))]
    fit = [fitted(each, room) for each, room in zip(words, rooms, strict=True)]
    return [*fit, Stroke(x_mm, under_mm, x_mm + room_mm, under_mm, 0.4)]


def _line(row: Row, x_mm: float, y_mm: float, high_mm: float, edges: Sequence[float]) -> list[Mark]:
    under_mm = y_mm + high_mm
    base_mm = y_mm + (high_mm + CAPITAL * TEXT_PT / mm) / 2
    if isinstance(row, str):
        return [Words(x_mm, base_mm, row, HEAD_PT, Face.BOLD)]
    marks: list[Mark] = [
        Stroke(x_mm, under_mm, edges[-1], under_mm, 0.15, grey=GREY),
        *(Stroke(at, y_mm, at, under_mm, 0.15, grey=GREY) for at in edges),
    ]
    if row is not None:
        hour_mm = x_mm + HOUR_MM
        marks += [
            Words(hour_mm, base_mm, row.clock, TEXT_PT, Face.BOLD, Align.RIGHT),
            Words(hour_mm + DEGREES_MM, base_mm, row.temperature, TEXT_PT, align=Align.RIGHT),
        ]
    return marks


def _high_mm(row: Row, row_mm: float) -> float:
    return DAY_MM if isinstance(row, str) else row_mm
