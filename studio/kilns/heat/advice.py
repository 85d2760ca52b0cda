"""What to look at before a load is fired: damp, quartz, the cones that it is made for."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planning.geometry.said import Values
from studio.room.cones import heat_of

from .cautions import Caution
from .cooling import cooling_rate_c_per_h
from .program import MINUTES, Segment, legs
from .reached import Firing

DAMP_BELOW_C = 120.0
CANDLED_C = (60.0, 95.0)
"""Candling is held at 60-93 °C: ceramicartsnetwork.org, Techno File "Firing Programs"."""
CANDLED_H, CANDLING_C_PER_H = 3.0, 50.0
"""At most 50 °C/h to 90 °C and three hours or more there for thicker ware: sitawong.com,
"Suggesting Firing Schedules".
"""
THICK_MM = 12.0
"""Walls over 12 mm: 30 to 60 °C/h up to 120 °C (common practice, no source)."""
THIN_C_PER_H, THICK_C_PER_H, THICKEST_C_PER_H = 100.0, 60.0, 30.0
"""100 °C/h to 600 °C for thin ware: sitawong.com."""
SLOWER_PER_MM = 2.5
"""°C/h less for each mm over 12: 30 °C/h from 24 mm on (common practice, no source)."""
QUARTZ_C = 573.0
"""Quartz inversion: ceramicartsnetwork.org, Techno File."""
QUARTZ_C_PER_H = 50.0
"""Recommended for sanitary ware, citing Fortuna, Sanitaryware, Faenza 2000."""


@dataclass(frozen=True)
class Ware:
    """What is fired. `unfired` ware may be damp. The cones are the hottest that the body and the
    glazes are made for; None where nobody said."""

    thickest_mm: float | None = None
    unfired: bool = True
    body_cone: str | None = None
    glaze_cone: str | None = None


@dataclass(frozen=True)
class Falls:
    """How the kiln cools by itself once it is off."""

    time_constant_h: float
    room_c: float


def most_damp_rate_c_per_h(thickest_mm: float) -> float:
    """How fast a wall may be heated while it may be damp inside.

    >>> [most_damp_rate_c_per_h(mm) for mm in (8, 14, 30)]
    [100.0, 55.0, 30.0]
    """
    if thickest_mm <= THICK_MM:
        return THIN_C_PER_H
    return max(THICKEST_C_PER_H, THICK_C_PER_H - SLOWER_PER_MM * (thickest_mm - THICK_MM))


def load_cautions(
    fired: Firing,
    start_c: float,
    segments: Sequence[Segment],
    ware: Ware,
    falls: Falls | None = None,
) -> tuple[Caution, ...]:
    """What the ware makes of the program, worst first; `falls` where the kiln is known."""
    return (
        *_damp(start_c, segments, ware),
        *_too_hot(fired, ware),
        *_quartz(start_c, segments, ware, falls),
    )


def _damp(start_c: float, segments: Sequence[Segment], ware: Ware) -> Iterator[Caution]:
    if ware.thickest_mm is None or not ware.unfired:
        return
    most = most_damp_rate_c_per_h(ware.thickest_mm)
    low, high = CANDLED_C
    for n, (low_c, each) in enumerate(legs(start_c, segments), 1):
        if low_c >= DAMP_BELOW_C:
            return
        candles = low <= each.target_c <= high and each.hold_min >= CANDLED_H * MINUTES
        allowed = max(most, CANDLING_C_PER_H) if candles else most
        if each.target_c > low_c and each.rate_c_per_h > allowed:
            values: Values = {
                "segment": str(n),
                "rate_c_per_h": each.rate_c_per_h,
                "thickest_mm": ware.thickest_mm,
                "most_c_per_h": allowed,
            }
            yield Caution("damp_ramp", values)
        if candles:  # what was damp is dry now
            return


def _too_hot(fired: Firing, ware: Ware) -> Iterator[Caution]:
    if fired.cone is None:
        return
    limits = [each for each in (ware.body_cone, ware.glaze_cone) if each is not None]
    for code, most in (
        ("hotter_than_body", ware.body_cone),
        ("hotter_than_glaze", ware.glaze_cone),
    ):
        if most is not None and heat_of(fired.cone) > heat_of(most):
            yield Caution(code, {"cone": fired.cone, "most": most})
    without = fired.cone_without_holds
    if limits and without is not None:
        most = min(limits, key=heat_of)
        if heat_of(without) <= heat_of(most) < heat_of(fired.cone):
            values = {"without": without, "cone": fired.cone, "most": most}
            yield Caution("hold_over_fires", values)


def _quartz(
    start_c: float, segments: Sequence[Segment], ware: Ware, falls: Falls | None
) -> Iterator[Caution]:
    if ware.thickest_mm is None or ware.thickest_mm <= THICK_MM:
        return
    rates = [
        each.rate_c_per_h
        for low_c, each in legs(start_c, segments)
        if low_c > QUARTZ_C >= each.target_c
    ]
    if falls is not None and segments[-1].target_c > QUARTZ_C:
        rates.append(cooling_rate_c_per_h(QUARTZ_C, falls.room_c, falls.time_constant_h))
    if rates and max(rates) > QUARTZ_C_PER_H:
        values = {"rate_c_per_h": max(rates), "thickest_mm": ware.thickest_mm}
        yield Caution("quartz_cooling", values)
