"""A hand with a pencil: turns a pot form into strokes on a page, in millimetres.

The strokes are what a student leaves on paper: searching lines, a contour in several pieces that
overshoot, a rim, a little shading. Where they land on a photograph is `photo`'s business, so that
one page can carry one drawing or many. No Django here.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from studio.demo.dice import chance
from studio.demo.forms import Form
from studio.demo.lettering import written
from studio.demo.parts import PARTS

Floats = NDArray[np.float64]
STEP_MM = 0.7  # distance of points along a stroke: below the shortest tremble of a hand


@dataclass(frozen=True)
class Hand:
    """How one person draws."""

    dark: float = 0.75  # 0 hardly to be seen, 1 as black as the tool gets
    width_mm: float = 0.7
    wobble_mm: float = 0.35
    passes: int = 2  # how often the contour is gone over
    overshoot_mm: float = 2.0
    shades: bool = False
    centre_line: bool = False
    ink: tuple[int, int, int] = (62, 60, 64)


@dataclass(frozen=True)
class Stroke:
    """One line on the page: (n, 2) points in mm, pressure 0 to 1 at each, and its width."""

    points: Floats
    pressure: Floats
    width_mm: float


@dataclass(frozen=True)
class Place:
    """Where a drawing stands on a page: middle of its foot and its height, in mm (y downwards)."""

    x_mm: float
    foot_mm: float
    height_mm: float


def hand_of(seed: int) -> Hand:
    """Return the drawing habits of one student; the same seed is the same student."""
    rng = np.random.default_rng(seed)
    tool = rng.choice(["pencil", "soft pencil", "pen", "blue pen"], p=[0.62, 0.2, 0.1, 0.08])
    hand = Hand(
        dark=float(rng.uniform(0.6, 1.0)),
        width_mm=float(rng.uniform(0.52, 0.85)),
        wobble_mm=float(rng.uniform(0.2, 0.85)),
        passes=int(rng.integers(1, 5)),
        overshoot_mm=float(rng.uniform(0.5, 4.5)),
        shades=chance(rng, 0.45),
        centre_line=chance(rng, 0.35),
    )
    if tool == "soft pencil":
        return replace(hand, width_mm=hand.width_mm * 1.6, dark=min(1.0, hand.dark + 0.15))
    if tool == "pen":
        return replace(hand, width_mm=0.42, dark=1.0, passes=min(2, hand.passes), ink=(34, 33, 38))
    if tool == "blue pen":
        return replace(hand, width_mm=0.5, dark=0.95, passes=min(2, hand.passes), ink=(44, 62, 138))
    return hand


def drawing(form: Form, hand: Hand, place: Place, seed: int, label: str = "") -> list[Stroke]:
    """Return the strokes of one pot drawing with an optional word or number beside it."""
    pen = _Pen(hand, np.random.default_rng(seed))
    left, right = _sides(form, place, pen.rng)
    rim_l, rim_r, foot_l, foot_r = left[-1], right[-1], left[0], right[0]
    strokes: list[Stroke] = []
    if hand.centre_line:
        top, bottom = (rim_l + rim_r) / 2 - [0, 6.0], (foot_l + foot_r) / 2 + [0, 5.0]
        strokes += pen.line(np.array([top, bottom]), 0.28)
    for side in (left, right):
        for searching in range(hand.passes):
            firm = searching == hand.passes - 1
            strokes += pen.contour(side[::-1], 1.0 if firm else 0.5, loose=0.45 if firm else 1.5)
    strokes += pen.line(_bow(foot_l, foot_r, 0.05 * pen.rng.random()), 0.9)
    strokes += _rim(pen, rim_l, rim_r)
    strokes += [s for part in form.parts for s in _part(pen, part, form, place)]
    strokes += [
        s for line, firm in _marks(form, left, right, pen.rng) for s in pen.line(line, firm)
    ]
    if hand.shades:
        strokes += _shading(pen, left, right)
    if label:
        x = place.x_mm + pen.rng.uniform(-0.5, 0.2) * place.height_mm * form.half_width
        for line in written(label, x=x, y=place.foot_mm + 13.0, size=pen.rng.uniform(4.2, 6.0)):
            strokes += pen.line(line, 0.8, loose=0.25, over=0.0)
    return strokes


class _Pen:
    """Puts lines down with the tremble, pressure and overshoot of one hand."""

    def __init__(self, hand: Hand, rng: np.random.Generator) -> None:
        self.hand = hand
        self.rng = rng

    def line(
        self, points: Floats, firm: float, *, loose: float = 0.5, over: float = 0.5
    ) -> list[Stroke]:
        """Draw through `points` once; `firm` scales pressure, `loose` the tremble."""
        along = _resampled(points)
        along = _stretched(along, over * self.hand.overshoot_mm * self.rng.random(2))
        return [self._stroke(along, firm, loose)]

    def contour(self, points: Floats, firm: float, *, loose: float) -> list[Stroke]:
        """Draw a long curve in two to four overlapping pulls, as a hand has to."""
        along = _resampled(points)
        cuts = np.linspace(0, len(along) - 1, int(self.rng.integers(2, 5)) + 1).astype(int)
        strokes = []
        for start, end in pairwise(cuts):
            lap = int(self.rng.integers(1, 8))
            pull = along[max(0, start - lap) : min(len(along), end + lap)]
            over = self.hand.overshoot_mm * self.rng.random(2)
            strokes.append(self._stroke(_stretched(pull, over), firm, loose))
        return strokes

    def _stroke(self, along: Floats, firm: float, loose: float) -> Stroke:
        count = len(along)
        slope = np.gradient(along, axis=0)
        normal = np.column_stack([-slope[:, 1], slope[:, 0]])
        normal /= np.maximum(np.hypot(*normal.T), 1e-9)[:, None]
        wobble = self.hand.wobble_mm
        off = loose * wobble * (_drift(self.rng, count, 34) + 0.35 * _drift(self.rng, count, 9))
        shift = loose * (0.25 + wobble) * self.rng.normal(0.0, 0.8, 2)
        taper = np.minimum(1.0, 0.35 + np.minimum(np.arange(count), np.arange(count)[::-1]) / 7.0)
        push = firm * self.hand.dark * taper * (1.0 + 0.3 * _drift(self.rng, count, 22))
        points = along + normal * off[:, None] + shift
        return Stroke(points, np.clip(push, 0.03, 1.1), self.hand.width_mm * (0.8 + 0.25 * firm))


def _sides(form: Form, place: Place, rng: np.random.Generator) -> tuple[Floats, Floats]:
    """Return left and right contours on the page, uneven as drawn by hand, foot to rim."""
    lean = rng.normal(0.0, 0.012)
    sides = []
    for sign, side in ((-1.0, form.left), (1.0, form.right)):
        height, half = side.T
        uneven = 1.0 + 0.045 * np.interp(height, np.linspace(0, 1, 4), rng.normal(0, 1, 4))
        x = place.x_mm + place.height_mm * (sign * half * uneven + lean * height)
        y = place.foot_mm - place.height_mm * height * (1.0 + rng.normal(0.0, 0.006))
        sides.append(np.column_stack([x, y]))
    return sides[0], sides[1]


def _rim(pen: _Pen, left: Floats, right: Floats) -> list[Stroke]:
    """The opening: an ellipse in perspective, sometimes only a line."""
    if chance(pen.rng, 0.25):
        return pen.line(_bow(left, right, -0.03), 0.9)
    middle, half = (left + right) / 2, (right - left) / 2
    turn = np.linspace(-0.3, 2 * np.pi + 0.3, 60)
    deep = np.array([0.0, abs(half[0]) * pen.rng.uniform(0.14, 0.3)])
    ring = middle + np.outer(np.cos(turn), half) + np.outer(np.sin(turn), deep)
    return pen.line(ring, 0.85, loose=0.6, over=0.0)


def _part(pen: _Pen, part: str, form: Form, place: Place) -> Iterator[Stroke]:
    """The added parts, each in a few strokes."""
    for points in PARTS[part](form):
        page = np.array([place.x_mm, place.foot_mm]) + place.height_mm * points * [1.0, -1.0]
        yield from pen.line(page, 0.9, loose=0.6)


def _marks(
    form: Form, left: Floats, right: Floats, rng: np.random.Generator
) -> Iterator[tuple[Floats, float]]:
    """The surface as (line, firmness): coils, ribs, dots, veins, facets, scales or a band."""
    count = len(left)

    def upright(across: float, start: float, end: float) -> Floats:
        rows = slice(int(start * count), max(int(start * count) + 4, int(end * count)))
        return np.asarray(left[rows] * (1 - across) + right[rows] * across)

    if form.marks in ("coils", "band"):
        low = int(0.62 * count)
        rows = range(4, count - 2, 4) if form.marks == "coils" else (low, low + 3)
        for row in rows:
            yield _bow(left[row], right[row], 0.07 + 0.02 * rng.random()), 0.5
    elif form.marks in ("ribs", "facets", "veins"):
        middle = [0.5] if form.marks == "veins" else [0.18, 0.36, 0.64, 0.82]
        for across in middle:
            yield upright(across + 0.03 * rng.normal(), 0.03, rng.uniform(0.8, 0.97)), 0.5
        if form.marks == "veins":
            for row in range(6, count - 8, 6):
                for edge in (left, right):
                    tip = 0.5 * (left + right)[row] * 0.15 + 0.85 * edge[row + 5]
                    yield np.array([0.5 * (left + right)[row], tip]), 0.4
    elif form.marks in ("dots", "scales"):
        for _ in range(34):
            row, across = int(rng.integers(3, count - 4)), rng.uniform(0.1, 0.9)
            spot = left[row] * (1 - across) + right[row] * across
            size = 0.9 if form.marks == "dots" else 2.6
            turn = np.linspace(0.0, 6.0 if form.marks == "dots" else np.pi, 9)
            yield spot + size * np.column_stack([np.cos(turn), np.sin(turn)]), 0.55


def _shading(pen: _Pen, left: Floats, right: Floats) -> list[Stroke]:
    """Slanted strokes down one side, softer towards the light."""
    strokes: list[Stroke] = []
    dark, light = (right, left) if chance(pen.rng, 0.7) else (left, right)
    depth = pen.rng.uniform(0.16, 0.34)
    for row in np.arange(2, len(left) - 3, 1.0) + pen.rng.uniform(-0.4, 0.4):
        at = np.array([dark[int(row)], dark[min(len(dark) - 1, int(row) + 3)]])
        inner = at[0] + (light[int(row)] - at[0]) * depth * pen.rng.uniform(0.7, 1.2)
        start = at[1] + (inner - at[1]) * 0.06
        strokes += pen.line(np.array([start, inner]), 0.34, loose=0.6, over=0.2)
    return strokes


def _bow(start: Floats, end: Floats, sag: float) -> Floats:
    """A line from start to end that hangs down by `sag` of its length."""
    at = np.linspace(0.0, 1.0, 24)[:, None]
    hang = np.array([0.0, sag * float(np.hypot(*(end - start)))])
    return np.asarray(start + at * (end - start) + 4 * at * (1 - at) * hang)


def _resampled(points: Floats) -> Floats:
    """Even steps of `STEP_MM` along a polyline."""
    chord = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    at = np.linspace(0.0, chord[-1], max(4, int(chord[-1] / STEP_MM) + 1))
    return np.column_stack([np.interp(at, chord, points[:, k]) for k in (0, 1)])


def _stretched(along: Floats, over_mm: Floats) -> Floats:
    """Carry both ends straight on by the given lengths."""
    first, last = along[0] - along[1], along[-1] - along[-2]
    heads = np.arange(int(over_mm[0] / STEP_MM), 0, -1)[:, None]
    tails = np.arange(1, int(over_mm[1] / STEP_MM) + 1)[:, None]
    return np.concatenate([along[0] + heads * first, along, along[-1] + tails * last])


def _drift(rng: np.random.Generator, count: int, wave: int) -> Floats:
    """Smooth noise of about unit size that changes over `wave` points."""
    knots = rng.normal(0.0, 1.0, count // wave + 4)
    at = rng.random() + np.arange(count) / wave
    low = at.astype(int)
    part = at - low
    ease = part * part * (3 - 2 * part)
    return np.asarray(knots[low] * (1 - ease) + knots[low + 1] * ease)
