"""Test bars in the tests, logged through the service."""

from typing import Any

from studio.people.models import User
from studio.room.models import ClayBody, ShrinkageBar
from studio.room.services import add_bars
from tests.cast import TODAY

# Invented, as a ruler with half millimetres and a small scale read them.
FIVE: list[dict[str, Any]] = [
    {"wet_mm": 100.0, "dry_mm": 93.5, "fired_mm": 88.5, "cone": "6"},
    {"wet_mm": 100.0, "dry_mm": 94.0, "fired_mm": 89.0, "cone": "6"},
    {"wet_mm": 100.0, "dry_mm": 93.5, "fired_mm": 88.0, "cone": "6"},
    {"wet_mm": 100.0, "dry_mm": 94.0, "fired_mm": 88.5, "cone": "6"},
    {"wet_mm": 100.0, "dry_mm": 94.0, "fired_mm": 88.5, "cone": "6"},
]
WEIGHED: dict[str, Any] = {"wet_g": 62.0, "dry_g": 49.0, "fired_g": 46.0}


def logged(body: ClayBody, by: User, *bars: dict[str, Any]) -> list[ShrinkageBar]:
    rows = [{"made_on": TODAY, "wet_mm": 100.0} | bar for bar in bars]
    return add_bars(body=body, by=by, bars=rows, today=TODAY)
