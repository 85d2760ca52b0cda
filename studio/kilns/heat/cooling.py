"""How long a kiln cools, by Newton's law, and its time constant learned from its own log."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import isfinite, log

import numpy as np
from scipy.optimize import least_squares

from studio.kilns.refusal import KilnRefused, Trouble

from .arrhenius import Array

STATED_HOURS = 7.0
"""Where nothing is logged: a kiln of some hundred litres in brick (common practice, no source)."""
UNLOAD_BELOW_C = 50.0
"""Bare-hand warm, 50 to 65 °C (common practice, no source)."""
LEAST_READINGS = 3
LEAST_SHARE = 0.3
"""Readings of one curve span at least so much of its drop towards the room in all, as ln ratio."""
BETWEEN_HOURS = 0.2, 200.0
ROUGH_C = 5.0
"""What a pyrometer read by eye may be off; a reading further off counts less and less."""

Reading = tuple[float, float]
"""Hours since any fixed moment, and °C."""


@dataclass(frozen=True)
class Cooling:
    """`spread_h` is the range in which the constants of single firings lie, half of it on each
    side; None for one firing alone or the stated value (`firings` is 0 then).
    """

    time_constant_h: float
    firings: int
    spread_h: float | None = None


STATED = Cooling(STATED_HOURS, 0)


def cooling_h(from_c: float, to_c: float, room_c: float, time_constant_h: float) -> float:
    """Hours from one temperature down to another by Newton's law, τ ln((from - room)/(to - room)).

    τ is the kiln's own, learned from its log. 0 when the kiln is as cool already.

    >>> round(cooling_h(1020, 60, 20, 6), 2)
    19.31
    """
    problems = [
        Trouble(path, "not_a_number")
        for path, value in (
            ("from_c", from_c),
            ("to_c", to_c),
            ("room_c", room_c),
            ("time_constant_h", time_constant_h),
        )
        if not isfinite(value)
    ]
    if not problems and time_constant_h <= 0:
        problems.append(Trouble("time_constant_h", "must_be_positive"))
    if not problems and to_c <= room_c:
        problems.append(Trouble("to_c", "room_not_colder", {"room_c": room_c, "to_c": to_c}))
    if problems:
        raise KilnRefused(problems)
    if from_c <= to_c:
        return 0.0
    return time_constant_h * log((from_c - room_c) / (to_c - room_c))


def cooling_rate_c_per_h(at_c: float, room_c: float, time_constant_h: float) -> float:
    """How fast a kiln that is off falls as it passes a temperature: (at - room)/τ."""
    return (at_c - room_c) / time_constant_h


def fitted_cooling(curves: Iterable[Sequence[Reading]], room_c: float) -> Cooling:
    """The kiln's time constant from what was logged after its shut-offs, one curve a firing.

    Each curve is fitted by robust least squares (soft l1: a misread figure hardly moves it); the
    median of the firings is taken. Curves with fewer than three readings above the room, or that
    cover too little of the way down, say nothing and are left out; without any curve the stated
    seven hours are answered, with `firings` 0.
    """
    found = sorted(hours for curve in curves if (hours := _constant_of(curve, room_c)))
    if not found:
        return STATED
    spread = (found[-1] - found[0]) / 2 if len(found) > 1 else None
    return Cooling(float(np.median(found)), len(found), spread)


def _constant_of(curve: Sequence[Reading], room_c: float) -> float | None:
    told = np.array(sorted((h, c) for h, c in curve if c > room_c + ROUGH_C), dtype=float)
    if len(told) < LEAST_READINGS or told[0, 0] == told[-1, 0]:
        return None
    hours, over_c = told[:, 0] - told[0, 0], told[:, 1] - room_c
    fallen = np.log(over_c[0] / over_c[-1])
    if fallen < LEAST_SHARE:
        return None
    start = np.array([np.clip(hours[-1] / fallen, *BETWEEN_HOURS), over_c[0]])

    def off(at: Array) -> Array:
        return np.asarray(at[1] * np.exp(-hours / at[0]) - over_c)

    bounds = ([BETWEEN_HOURS[0], over_c[0] / 3], [BETWEEN_HOURS[1], over_c[0] * 3])
    fit = least_squares(off, start, bounds=bounds, x_scale=start, loss="soft_l1", f_scale=ROUGH_C)
    return float(fit.x[0])
