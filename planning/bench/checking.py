"""The build check: deviation by height, and the gentlest thing that helps.

Building shrinks the pot: by leather-hard half or more of the drying shrinkage has happened. So
only the fresh soft band at the top is judged at wet size; below it a wall is right at any size
between wet and dry, and what is wrong there is left. A width is compared with the plan's at the
height that was measured. Every bound is common practice, no source.

What is up to 3 % off is within the default tolerance, and its sentence already says to set the
next row in or out: `steer` is the answer where a brief's tolerance is narrower than that.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from planning.geometry.form import Form
from planning.geometry.said import Values
from planning.geometry.volume import slant_below

from .measured import Compared, Measured, compared
from .sentences import MeasuredRefused, Said, Trouble

Action = Literal["within", "steer", "press_in", "ease_out", "dart", "rebuild", "leave"]

STEER_SHARE = 0.03
"""Up to this the next rows make up for it."""

DART_SHARE = 0.05
"""Up to this a soft wall is pressed in; a way round that is longer loses clay."""

EASE_SHARE, TAKE_IN_SHARE = 0.10, 0.25
"""Farther than the one soft clay isn't eased out, farther than the other darts don't take in."""

NEARLY_SHARE = 0.5
"""Of the tolerance: from here on the next row is set in or out a little."""

LEAST_DARTS, MOST_DARTS = 4, 6
DART_WIDTH_MM = 10.0
"""More darts rather than wider ones than this."""

LENGTH_PER_WIDTH = 3.0
"""A dart shorter than this buckles when it is closed."""

_ROUNDING = 1e-9


@dataclass(frozen=True)
class Tolerance:
    """The larger of the two is near enough: millimetres, and a percentage of the width."""

    mm: float = 5.0
    pct: float = 3.0

    def of(self, width_mm: float) -> float:
        return max(self.mm, self.pct / 100 * width_mm)


@dataclass(frozen=True)
class Darts:
    """`count` darts evenly spaced, each so wide at the edge and so long."""

    count: int
    width_mm: float
    length_mm: float


@dataclass(frozen=True)
class BuildCheck:
    """One measurement judged. `deviation_mm` is of the width (of the depth where that is worse, of
    the width that a way round means), positive where the pot is too wide, of stiff clay beyond
    what is right."""

    height_mm: float
    deviation_mm: float
    action: Action
    darts: Darts | None
    said: Said


def build_check(
    made: Form,
    drying_shrinkage_pct: float,
    measured: Sequence[Measured],
    tolerance: Tolerance | None = None,
) -> tuple[BuildCheck, ...]:
    """Judge each measurement, in the order given; `MeasuredRefused` where they can't be so.

    Soft places count as the soft band from the highest down to the first stiff one.
    """
    allowed = tolerance or Tolerance()
    _refuse_bounds(drying_shrinkage_pct, allowed)
    places = compared(made, measured, allowed.mm)
    order = sorted(range(len(places)), key=lambda i: -places[i].measured.height_mm)
    firm = (n for n, i in enumerate(order) if places[i].measured.state == "stiff")
    soft = order[: next(firm, len(order))]
    band = [places[i] for i in soft]
    darts = _darts(made, band, allowed)
    return tuple(
        _fresh(each, allowed, darts) if i in soft else _stiff(each, allowed, drying_shrinkage_pct)
        for i, each in enumerate(places)
    )


def _refuse_bounds(drying_pct: float, allowed: Tolerance) -> None:
    named = (
        ("drying_shrinkage_pct", drying_pct, 30),
        ("tolerance_mm", allowed.mm, 50),
        ("tolerance_pct", allowed.pct, 20),
    )
    found = [
        Trouble("out_of_range", {"least": "0", "most": str(most)}, path)
        for path, value, most in named
        if not 0 <= value <= most
    ]
    if found:
        raise MeasuredRefused(found)


def _worst(each: Compared, allowed: Tolerance, dry: float = 1.0) -> tuple[float, float]:
    """Deviation and planned size of what is farthest out of its tolerance, where any size between
    the planned one and `dry` times it is right."""
    offs = (
        (max(size - planned, 0.0) + min(size - dry * planned, 0.0), planned)
        for size, planned in each.widths.values()
    )
    return max(offs, key=lambda off: abs(off[0]) / max(allowed.of(off[1]), _ROUNDING))


def _fresh(each: Compared, allowed: Tolerance, darts: Darts | None) -> BuildCheck:
    """Soft clay at wet size."""
    off, planned = _worst(each, allowed)
    near = allowed.of(planned) * (1 + _ROUNDING)
    if abs(off) <= near:
        code = "as_planned"
        if abs(off) > NEARLY_SHARE * near:
            code = "nearly_wide" if off > 0 else "nearly_narrow"
        return _said(each, off, "within", code)
    action, code = _gentlest(off / planned, each.excess_share)
    if action != "dart" or darts is None:
        return _said(each, off, action, code)
    taken_in: Values = {
        "count": str(darts.count),
        "width_mm": darts.width_mm,
        "length_mm": darts.length_mm,
    }
    return replace(_said(each, off, action, code, taken_in), darts=darts)


def _gentlest(share: float, around: float) -> tuple[Action, str]:
    """Action and sentence for soft clay whose width is off by `share` of it and whose way round
    by `around`. What is right all round is pressed into shape, it is neither cut nor rebuilt."""
    if abs(share) <= STEER_SHARE + _ROUNDING:
        return ("steer", "steer_in") if share > 0 else ("steer", "steer_out")
    if around > TAKE_IN_SHARE + _ROUNDING:
        return "rebuild", "rebuild_wide"
    if around > DART_SHARE + _ROUNDING:
        return "dart", "dart"
    if around < -EASE_SHARE - _ROUNDING:
        return "rebuild", "rebuild_narrow"
    if abs(around) < abs(share) / 2 or around * share < 0:
        return "press_in", "press_round"
    return ("press_in", "press_in") if share > 0 else ("ease_out", "ease_out")


def _darts(made: Form, band: Sequence[Compared], allowed: Tolerance) -> Darts | None:
    """The darts of the soft band, given from the edge down: they take in what is too much at the
    highest place that needs them, and end where the band is right again."""
    needed = [i for i, each in enumerate(band) if _needs_darts(each, allowed)]
    if not needed:
        return None
    excess = band[needed[0]].excess_mm
    count = min(max(math.ceil(excess / DART_WIDTH_MM), LEAST_DARTS), MOST_DARTS)
    width = excess / count
    foot = _right_again(band, needed[0], allowed)
    ends = made.surface.parameters_at(np.array([foot, band[0].measured.height_mm]))
    depth = float(np.diff(slant_below(made.surface, ends))[0])
    return Darts(count, width, max(depth, LENGTH_PER_WIDTH * width))


def _needs_darts(each: Compared, allowed: Tolerance) -> bool:
    return _fresh(each, allowed, None).action == "dart"


def _right_again(band: Sequence[Compared], start: int, allowed: Tolerance) -> float:
    """Height at which, from place `start` of the band down, the way round comes within its
    tolerance, read straight between two places; the lowest wrong place where none is right."""
    above = band[start]
    for below in band[start + 1 :]:
        far, near = (_times_tolerance(each, allowed) for each in (above, below))
        if near <= 1:
            high, low = above.measured.height_mm, below.measured.height_mm
            return high + (low - high) * (far - 1) / (far - near)
        above = below
    return above.measured.height_mm


def _times_tolerance(each: Compared, allowed: Tolerance) -> float:
    front = each.planned["front_mm"]
    return each.excess_share * front / max(allowed.of(front), _ROUNDING)


def _stiff(each: Compared, allowed: Tolerance, drying_pct: float) -> BuildCheck:
    """Stiffened clay, right at any size between wet and dry."""
    dry = 1 - drying_pct / 100
    off, planned = _worst(each, allowed, dry)
    if abs(off) <= allowed.of(planned) * (1 + _ROUNDING):
        values = {"dry_mm": dry * planned, "wet_mm": planned}
        return _said(each, off, "within", "stiff_as_planned", values)
    return _said(each, off, "leave", "leave_wide" if off > 0 else "leave_narrow")


def _said(
    each: Compared, off: float, action: Action, code: str, more: Values | None = None
) -> BuildCheck:
    height = each.measured.height_mm
    values = {"height_mm": height, "off_mm": abs(off), **(more or {})}
    return BuildCheck(height, off, action, None, Said(code, values))
