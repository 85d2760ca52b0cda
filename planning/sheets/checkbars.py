"""The bars that prove a print's size: 100 mm and 4 in, one under the other."""

from django.utils.translation import gettext as _

from studio.paper.pages import Align, Face, Mark, Stroke, Words
from studio.paper.text import line_mm, lines_at, lines_of
from studio.units.scales import MM_PER_INCH

HIGH_MM = 8.0
INCH_MM = float(MM_PER_INCH)
WIDE_MM = 4 * INCH_MM
_LABEL_MM = 17.0
SAID_PT = 8.5


def check_bars(x_mm: float, y_mm: float, room_mm: float) -> list[Mark]:
    """From the top left corner: centimetres upwards, inches downwards, and what to do with them
    at the right."""
    upper, lower, right = y_mm + 3.2, y_mm + 4.4, x_mm + WIDE_MM
    room = room_mm - WIDE_MM - _LABEL_MM
    lines = lines_of(
        _("Print at 100 %, not “fit to page”. Lay a ruler on both bars before you cut."),
        room,
        SAID_PT,
    )
    top = y_mm + HIGH_MM - len(lines) * line_mm(SAID_PT)
    said = lines_at(
        lines, right + _LABEL_MM, top, room, size_pt=SAID_PT, face=Face.TEXT, align=Align.LEFT
    )
    return [
        *_bar(x_mm, upper, 10, 10.0, up=True),
        *_bar(x_mm, lower, 4, INCH_MM, up=False),
        Words(right + 2.0, upper, _("100 mm"), SAID_PT),
        Words(right + 2.0, lower + 2.9, _("4 in"), SAID_PT),
        *said,
    ]


def _bar(x_mm: float, y_mm: float, steps: int, step_mm: float, *, up: bool) -> list[Mark]:
    marks: list[Mark] = [Stroke(x_mm, y_mm, x_mm + steps * step_mm, y_mm, 0.3)]
    for number in range(steps + 1):
        tall_mm = (2.8 if number in (0, steps) else 1.6) * (-1 if up else 1)
        at_mm = x_mm + number * step_mm
        marks.append(Stroke(at_mm, y_mm, at_mm, y_mm + tall_mm, 0.2))
    return marks
