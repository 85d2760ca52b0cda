"""A pot from the side on paper: a black outline with its clay's pattern, legible 15 mm high."""

from collections.abc import Sequence
from math import cos, pi, sin

from .pages import Mark, Point, Shape
from .patterns import filled
from .shapes import ellipse

Sample = tuple[float, float, float]  # height, left and right of the axis, in mm of the pot

RIM_TILT, FOOT_TILT = 0.17, 0.07  # how far rim and foot open towards the eye
OUTLINE_MM = 0.35
LIP_MM = 8.0  # of the pot: only for the picture
HALF_TURN = [pi * number / 24 for number in range(25)]
FLAT = {"on_paper", "planned"}  # as it is drawn, without a mouth
HOLLOW = {"broken", "missing"}
# Shares of the width at the rim and of the height, from the rim down.
CRACK = ((0.16, 0.0), (0.02, 0.13), (0.17, 0.24), (0.05, 0.36), (0.12, 0.46))


def one_scale(
    silhouettes: Sequence[Sequence[Sample]], *, tallest_mm: float, widest_mm: float
) -> float:
    """Millimetres of paper per millimetre of pot at which each fits, its rim included."""
    sizes = [_size(samples) for samples in silhouettes if samples]
    limits = [
        limit / size
        for wide, high in sizes
        for limit, size in ((widest_mm, wide), (tallest_mm, high))
        if size > 0
    ]
    return min(limits, default=1.0)


def silhouette(
    samples: Sequence[Sample], *, x_mm: float, base_y_mm: float, scale: float, stage: str
) -> list[Mark]:
    """The pot with its axis at `x_mm` and its foot on `base_y_mm`.

    `samples` run from the table to the rim; `scale` is paper mm per mm of the pot. Fewer than two
    samples draw nothing. `stage` is a stage's code, 'on_paper', 'planned', 'broken' or 'missing'.
    """
    if not samples[1:]:
        return []
    right = [(x_mm + each[2] * scale, base_y_mm - each[0] * scale) for each in samples]
    left = [(x_mm - each[1] * scale, base_y_mm - each[0] * scale) for each in reversed(samples)]
    if stage in FLAT:
        return filled(Shape((*right, *left), width_mm=OUTLINE_MM), stage)
    far_rim = _arc(right[-1], left[0], -RIM_TILT)
    near_foot = _arc(left[-1], right[0], FOOT_TILT)
    body = Shape((*right, *far_rim, *left, *near_foot), width_mm=OUTLINE_MM)
    mouth = _mouth(right[-1], left[0], scale, stage)
    return [*filled(body, stage), *mouth, *_sign(right, left, stage)]


def _size(samples: Sequence[Sample]) -> tuple[float, float]:
    """Twice the wider side of the axis, and the height with the far edge of the rim."""
    rim = (samples[-1][1] + samples[-1][2]) / 2
    return 2 * max(max(each[1:]) for each in samples), samples[-1][0] + rim * RIM_TILT


def _arc(start: Point, end: Point, tilt: float) -> list[Point]:
    """Half an ellipse between two level points, downwards for a tilt above 0."""
    middle, half = (start[0] + end[0]) / 2, (start[0] - end[0]) / 2
    return [
        (middle + half * cos(turn), start[1] + abs(half) * tilt * sin(turn)) for turn in HALF_TURN
    ]


def _mouth(right: Point, left: Point, scale: float, stage: str) -> list[Mark]:
    middle, half = (right[0] + left[0]) / 2, (right[0] - left[0]) / 2
    down = half * RIM_TILT
    rim = ellipse(middle, right[1], half, down, width_mm=OUTLINE_MM * 0.7)
    if stage in HOLLOW:
        return [rim]
    lip = min(LIP_MM * scale, half * 0.35)
    inner_down = max(down - lip * 0.4, down * 0.45)
    return [rim, ellipse(middle, right[1], half - lip, inner_down, width_mm=0.1, fill=0.15)]


def _sign(right: list[Point], left: list[Point], stage: str) -> list[Mark]:
    """The light on a fired glaze, the crack of a broken pot."""
    if stage == "glaze_fired":
        return [_light(left[::-1], right)]
    if stage in HOLLOW:
        (x_mm, top_mm), wide = right[-1], right[-1][0] - left[0][0]
        high = right[0][1] - top_mm
        points = tuple((x_mm - wide * across, top_mm + high * down) for across, down in CRACK)
        return [Shape(points, closed=False, width_mm=OUTLINE_MM)]
    return []


def _light(left: list[Point], right: list[Point]) -> Shape:
    """A white streak a fifth of the way in from the left, along the upper half."""
    last = len(left) - 1
    part = range(round(last * 0.48), round(last * 0.84) + 1)
    points = tuple((left[at][0] + (right[at][0] - left[at][0]) * 0.2, left[at][1]) for at in part)
    return Shape(points, closed=False, width_mm=0.8, grey=1.0)
