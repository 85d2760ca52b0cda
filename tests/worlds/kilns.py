"""Kilns, programs, slots and loads."""

from collections.abc import Mapping
from datetime import date, time
from typing import Any

from studio.kilns.models import Program
from studio.kilns.services.slots import add_slot
from studio.room.services import add_glaze
from tests.cast import NOW, School
from tests.studio.kilns.kiln_room import GLAZE, a_kiln


def things(cast: School, made: Mapping[str, str]) -> dict[str, Any]:
    """Two kilns, the shipped programs, and a bisque on a Thursday evening."""
    kiln = a_kiln(cast.technician)
    a_kiln(cast.technician, name="Small kiln", not_together_with=[kiln])
    bisque = Program.objects.get(studio=cast.studio, firing="bisque")
    slot = add_slot(
        kiln=kiln,
        program=bisque,
        on=date(2026, 3, 19),
        start=time(20),
        confirms=cast.technician,
        by=cast.technician,
        at=NOW,
    )
    glaze = add_glaze(studio=cast.studio, by=cast.technician, glaze=GLAZE)
    return {"kiln": kiln, "program": bisque, "slot": slot, "glaze": glaze}
