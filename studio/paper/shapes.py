"""Plain shapes: rectangles, ellipses, tick boxes, words on a white ground."""

from math import cos, pi, sin

from reportlab.lib.units import mm

from .pages import Mark, Shape, Words
from .text import CAPITAL, aligned
from .text import width_mm as words_mm

ROUND = 96  # points of an ellipse: off the true curve by 0.05 % of its radius


def rectangle(
    x_mm: float,
    y_mm: float,
    wide_mm: float,
    high_mm: float,
    *,
    width_mm: float = 0.2,
    fill: float | None = None,
) -> Shape:
    """From its top left corner; `width_mm` is that of the outline."""
    right_mm, bottom_mm = x_mm + wide_mm, y_mm + high_mm
    corners = ((x_mm, y_mm), (right_mm, y_mm), (right_mm, bottom_mm), (x_mm, bottom_mm))
    return Shape(corners, width_mm=width_mm, fill=fill)


def ellipse(
    x_mm: float,
    y_mm: float,
    across_mm: float,
    down_mm: float | None = None,
    *,
    width_mm: float = 0.3,
    fill: float | None = None,
) -> Shape:
    """About its middle, by its half-axes; a circle when only one is given."""
    down_mm = across_mm if down_mm is None else down_mm
    turns = [2 * pi * number / ROUND for number in range(ROUND)]
    points = tuple((x_mm + across_mm * cos(turn), y_mm + down_mm * sin(turn)) for turn in turns)
    return Shape(points, width_mm=width_mm, fill=fill)


def box(x_mm: float, y_mm: float, side_mm: float = 4.0) -> Shape:
    """An empty box to tick, from its top left corner."""
    return rectangle(x_mm, y_mm, side_mm, side_mm, width_mm=0.25)


def plated(words: Words, pad_mm: float = 0.5) -> list[Mark]:
    """Words on a white ground, to be read over a pattern."""
    wide_mm = words_mm(words.text, words.size_pt, words.face)
    left_mm = words.x_mm - aligned(0, wide_mm, words.align) - pad_mm
    high_mm = CAPITAL * words.size_pt / mm + 2 * pad_mm
    top_mm = words.y_mm + pad_mm - high_mm
    wide_mm += 2 * pad_mm
    return [rectangle(left_mm, top_mm, wide_mm, high_mm, width_mm=0.0, fill=1.0), words]
