"""What a program does, by the pure modules."""

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Any

from studio.kilns.cones import DEFAULT_TYPE
from studio.kilns.heat.cooling import cooling_h
from studio.kilns.heat.program import Segment, Timing, timing
from studio.kilns.heat.reached import Firing, firing
from studio.kilns.models import Program
from studio.room.models import Kiln

ROOM_C = 20.0
"""What a kiln cools towards. In a room of 25 °C it takes about an hour longer."""

# A studio fires a few programs again and again, and a page asks for each several times.
_fired = lru_cache(maxsize=64)(firing)


def heat_segments(rows: Iterable[Mapping[str, Any]]) -> tuple[Segment, ...]:
    """Kept segments as the pure modules take them."""
    return tuple(Segment(row["rate_c_per_h"], row["target_c"], row["hold_min"]) for row in rows)


def segment_rows(segments: Sequence[Segment]) -> list[dict[str, float]]:
    """As they are kept."""
    return [
        {"rate_c_per_h": each.rate_c_per_h, "target_c": each.target_c, "hold_min": each.hold_min}
        for each in segments
    ]


def firing_of(program: Program, cone_type: str = DEFAULT_TYPE) -> Firing:
    """Timing, cone and cautions of a program."""
    return _fired(program.start_c, heat_segments(program.segments), cone_type)


def timing_of(program: Program) -> Timing:
    return timing(program.start_c, heat_segments(program.segments))


def cooling_of(program: Program, kiln: Kiln) -> float:
    """Hours from the end of a program until this kiln may be unloaded."""
    last_c = program.segments[-1]["target_c"]
    return cooling_h(last_c, kiln.unload_below_c, ROOM_C, kiln.cooling_h)
