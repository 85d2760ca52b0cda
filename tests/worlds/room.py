"""Test bars of the clay body that the class builds with."""

from collections.abc import Mapping
from typing import Any

from studio.room.models import ClayBody
from studio.room.services import add_bars
from tests.cast import TODAY, School


def things(cast: School, made: Mapping[str, str]) -> dict[str, Any]:
    """Two bars that came out of the kiln, weighed, and one that dries."""
    fired = {"dry_mm": 94.0, "fired_mm": 89.5, "cone": "6", "wet_g": 61.5, "dry_g": 48.5}
    bars = [{"wet_mm": 100.0, "made_on": TODAY} for _bar in range(3)]
    first, *_others = add_bars(
        body=ClayBody.objects.get(pk=made["body"]),
        by=cast.technician,
        bars=[bars[0] | fired | {"fired_g": 45.6}, bars[1] | fired, bars[2]],
        today=TODAY,
    )
    return {"test_bar": first}
