"""What a page shows of a program: how long, how hot, and what it means in each kiln."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, time
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from studio.kilns.cones import EDITION, cones
from studio.kilns.curve import Curve, curve
from studio.kilns.heat.cooling import cooling_h
from studio.kilns.heat.program import Segment, Span, Timing
from studio.kilns.heat.reached import Firing, firing
from studio.kilns.heat.witness import Correction
from studio.kilns.hours import starts_that_fit
from studio.kilns.models import Program
from studio.kilns.wording import caution_sentence, rate_text
from studio.room.models import Kiln

from .energy import energy_in, energy_said, metered
from .learned import corrections
from .programs import ROOM_C, heat_segments, timing_of

NEARLY, HARDLY = 0.75, 0.25
"""A cone is shown to half of one."""

PLAIN_DAY, PLAIN_ZONE = date(2026, 3, 2), ZoneInfo("UTC")


@dataclass(frozen=True)
class SegmentLine:
    rate: str
    target_c: float
    hold_h: float
    span: Span


@dataclass(frozen=True)
class Fit:
    """A program in one kiln, on a day without a change of the clocks. `fits`: from when until when
    it may be lit so that it also ends within the kiln's hours.
    """

    kiln: Kiln
    too_hot: bool
    cooling_h: float
    unload_h: float
    fits: tuple[tuple[time, time], ...]


@dataclass(frozen=True)
class InKiln(Fit):
    """With what the kiln's own firings say."""

    correction: Correction | None
    """What its witness cones say."""
    energy: str
    """What it takes there; empty where power or lining isn't known."""


@dataclass(frozen=True)
class ProgramView:
    firing: Firing
    curve: Curve
    rows: tuple[SegmentLine, ...]
    cone: str
    """The cone that goes down; empty below the table."""
    next_cone: str
    """The one after it, where it bends about half (`halfway`) or nearly down."""
    halfway: bool
    climb_cone: str
    """What goes down by the climb alone, where what is held makes a difference; else empty."""
    rate: str
    """Over the last 100 °C of heating; empty where the kiln never heats."""
    edition: str
    """Of the chart of end points."""
    cautions: tuple[str, ...]
    kilns: tuple[InKiln, ...]


def program_view(
    start_c: float, segments: Sequence[Mapping[str, Any]], kilns: Iterable[Kiln]
) -> ProgramView:
    """Raises `KilnRefused` for segments that can't be followed."""
    found = heat_segments(segments)
    fired = firing(start_c, found)
    spans = fired.timing.spans
    rows = tuple(
        SegmentLine(rate_text(each.rate_c_per_h), each.target_c, each.hold_min / 60, span)
        for each, span in zip(found, spans, strict=True)
    )
    return ProgramView(
        firing=fired,
        curve=curve(start_c, found),
        rows=rows,
        cone=fired.cone or "",
        next_cone=next_cone(fired),
        halfway=fired.cone_position < NEARLY,
        climb_cone=_climb_cone(fired),
        rate=rate_text(fired.rate_c_per_h) if fired.rate_c_per_h else "",
        edition=EDITION,
        cautions=tuple(caution_sentence(each) for each in fired.cautions),
        kilns=_in_kilns(list(kilns), fired, start_c, found),
    )


def view_of(program: Program, kilns: Iterable[Kiln]) -> ProgramView:
    return program_view(program.start_c, program.segments, kilns)


def fits_of(program: Program, kilns: Iterable[Kiln]) -> list[Fit]:
    """In each kiln, without what its own firings say: no query."""
    timed, last_c = timing_of(program), program.segments[-1]["target_c"]
    return [_fit(kiln, timed, last_c) for kiln in kilns]


def next_cone(fired: Firing) -> str:
    """The next hotter cone; empty after the last, and where it hardly bends."""
    names = cones(fired.cone_type)
    after = names.index(fired.cone) + 1 if fired.cone else 0
    return names[after] if fired.cone_position >= HARDLY and after < len(names) else ""


def _climb_cone(fired: Firing) -> str:
    alone = fired.cone_without_holds
    return alone if alone is not None and alone != fired.cone else ""


def _in_kilns(
    kilns: list[Kiln], fired: Firing, start_c: float, segments: Sequence[Segment]
) -> tuple[InKiln, ...]:
    if not kilns:
        return ()
    known, counted = corrections(kilns), metered(kilns)
    return tuple(
        InKiln(
            **vars(_fit(each, fired.timing, segments[-1].target_c)),
            correction=known.get(each.pk),
            energy=_energy(each, start_c, segments, counted),
        )
        for each in kilns
    )


def _energy(
    kiln: Kiln, start_c: float, segments: Sequence[Segment], counted: Mapping[UUID, list[float]]
) -> str:
    found = energy_in(kiln, start_c, segments, counted.get(kiln.pk, ()))
    return energy_said(kiln, found) if found else ""


def _fit(kiln: Kiln, timed: Timing, last_c: float) -> Fit:
    long_h = timed.duration_h
    cools_h = cooling_h(last_c, kiln.unload_below_c, ROOM_C, kiln.cooling_h)
    fits = starts_that_fit(
        (kiln.start_from, kiln.start_until),
        (kiln.off_from, kiln.off_until),
        long_h,
        PLAIN_DAY,
        PLAIN_ZONE,
    )
    too_hot = timed.peak_c > kiln.most_c
    return Fit(kiln, too_hot, cools_h, long_h + cools_h, () if too_hot else fits)
