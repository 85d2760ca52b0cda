"""A slot's program as its print says it: segments, curve, and what each hour of the log expects."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from math import ceil, floor

import numpy as np
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from studio.kilns.hours import after
from studio.kilns.models import Slot
from studio.kilns.sheets.log import HourPrint
from studio.kilns.sheets.program import CurvePrint, SegmentPrint
from studio.kilns.wording import rate_text
from studio.web.shown import clock_text, hours_text, temperature_text

from .programs import heat_segments, timing_of

EVERY_C = 250
STEP_C = 5
"""Nobody follows a kiln more closely by the hour."""
MOST_CLOCKS = 5
"""More times of day below a curve would run into each other."""
STEPS_H = (1, 2, 3, 4, 6, 8, 12, 24, 48, 96)


def segments_print(slot: Slot) -> list[SegmentPrint]:
    segments = heat_segments(slot.program.segments)
    spans = timing_of(slot.program).spans
    return [
        SegmentPrint(
            rate=rate_text(each.rate_c_per_h),
            target=temperature_text(each.target_c),
            hold=hours_text(each.hold_min / 60) if each.hold_min else _("none"),
            done_at=_day_and_clock(slot, span.end_h),
        )
        for each, span in zip(segments, spans, strict=True)
    ]


def corners(slot: Slot) -> list[tuple[float, float]]:
    """(Hours from the start, °C) where the program turns; straight between."""
    segments = heat_segments(slot.program.segments)
    found = [(0.0, float(slot.program.start_c))]
    for span, each in zip(timing_of(slot.program).spans, segments, strict=True):
        found += [
            (span.end_h - each.hold_min / 60, float(each.target_c)),
            (span.end_h, float(each.target_c)),
        ]
    return found


def curve_print(slot: Slot) -> CurvePrint:
    points = corners(slot)
    long_h, most_c = points[-1][0], max(temp_c for _hours, temp_c in points)
    step_h = next(step for step in STEPS_H if long_h / step <= MOST_CLOCKS)
    marks = [step_h * n for n in range(floor(long_h / step_h) + 1)]
    return CurvePrint(
        points=points,
        hours=[(float(hours), _clock(slot, hours)) for hours in marks],
        degrees=[
            (float(temp_c), temperature_text(temp_c))
            for temp_c in range(0, ceil(most_c / EVERY_C) * EVERY_C + 1, EVERY_C)
        ],
    )


def hours_print(slot: Slot) -> list[HourPrint]:
    """Each hour from the first after it is lit until the program ends, that end included: what it
    ends at is said exactly.
    """
    hours, temps_c = zip(*corners(slot), strict=True)
    found = [(each, float(np.interp(each, hours, temps_c))) for each in _full_hours(hours[-1])]
    said = [_rounded(temp_c) for _hour, temp_c in found[:-1]] + [temperature_text(temps_c[-1])]
    return [
        HourPrint(_day(slot, each), _clock(slot, each), temperature)
        for (each, _temp_c), temperature in zip(found, said, strict=True)
    ]


def program_says(slot: Slot, at: datetime) -> str:
    """Where the program of a lit kiln should be: "about 420 °C". Empty once it has ended."""
    if slot.lit_at is None or slot.off_at is not None:
        return ""
    hours, temps_c = zip(*corners(slot), strict=True)
    since_h = (at - slot.lit_at) / timedelta(hours=1)
    return _about(float(np.interp(since_h, hours, temps_c))) if since_h <= hours[-1] else ""


def _full_hours(long_h: float) -> Iterator[float]:
    yield from map(float, range(1, ceil(long_h)))
    yield long_h


def _about(temp_c: float) -> str:
    return _("about %(temperature)s") % {"temperature": _rounded(temp_c)}


def _rounded(temp_c: float) -> str:
    return temperature_text(STEP_C * round(temp_c / STEP_C))


def _day_and_clock(slot: Slot, hours: float) -> str:
    # Translators: a day of the week and a time of day.
    return _("%(day)s %(clock)s") % {"day": _day(slot, hours), "clock": _clock(slot, hours)}


def _day(slot: Slot, hours: float) -> str:
    return date_format(_local(slot, hours), "l")


def _clock(slot: Slot, hours: float) -> str:
    return clock_text(_local(slot, hours))


def _local(slot: Slot, hours: float) -> datetime:
    local = after(slot.starts_at, hours).astimezone(slot.studio.zone)
    return local.replace(tzinfo=None)
