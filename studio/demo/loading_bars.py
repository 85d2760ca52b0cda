"""Loads the demo's test bars as they came: wet from the bench, dry from the shelf, then fired."""

from typing import Any

from studio.demo.loading_people import School
from studio.demo.material import Material
from studio.room.models import ClayBody
from studio.room.services import add_bars, measure_bars


def load_bars(material: Material, school: School) -> None:
    """Measured and not used yet: whoever looks may put the means into the body."""
    for log in material.test_bars:
        _load(log, school)


def _load(log: dict[str, Any], school: School) -> None:
    body = ClayBody.objects.select_related("studio").get(studio=school.studio, name=log["body"])
    by, day = school.staff[log["by"]], school.clock.day
    made_on = day(log["made_on"])
    wet = [
        {"made_on": made_on, "wet_mm": row["mm"][0], "wet_g": row["g"][0]} for row in log["bars"]
    ]
    bars = add_bars(body=body, by=by, bars=wet, today=made_on)
    for on, place, state, more in (
        ("dried_on", 1, "dry", {}),
        ("fired_on", 2, "fired", {"cone": log["cone"]}),
    ):
        measured = {
            bar.pk: {f"{state}_mm": row["mm"][place], f"{state}_g": row["g"][place]} | more
            for bar, row in zip(bars, log["bars"], strict=True)
        }
        measure_bars(body=body, by=by, measured=measured, today=day(log[on]))
