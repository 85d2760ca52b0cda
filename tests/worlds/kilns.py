"""Kilns, programs, slots and loads."""

from collections.abc import Mapping
from datetime import date, time
from typing import Any

from studio.jobs.models import Job
from studio.jobs.work import claimed
from studio.kilns.models import Program, Slot
from studio.kilns.selectors.week_asked import ByHand
from studio.kilns.services.calendars import make_calendar_address
from studio.kilns.services.firing import light, log_entry, shut_off
from studio.kilns.services.loads import place_pots
from studio.kilns.services.slots import add_slot
from studio.kilns.services.week_plans import ask_for_week_plan, plan_the_week
from studio.kilns.services.witness import read_witness
from studio.room.services import add_glaze
from tests.cast import NOW, School
from tests.studio.kilns.kiln_room import GLAZE, a_kiln, a_slot
from tests.studio.ware.pots import a_pot, dried


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
    return {
        "kiln": kiln,
        "program": bisque,
        "slot": slot,
        "glaze": glaze,
        **fired(cast, slot),
        **calendars(cast),
        "week_plan": planned(cast),
    }


def calendars(cast: School) -> dict[str, Any]:
    """The studio's address, whose secret is in it, and that of the class."""
    kept, secret = make_calendar_address(studio=cast.studio, by=cast.technician, at=NOW)
    section, _secret = make_calendar_address(
        studio=cast.studio, section=cast.section, by=cast.teacher, at=NOW
    )
    return {"studio_calendar": kept, "class_calendar": section, "calendar_secret": secret}


def planned(cast: School) -> Job:
    """The week of that bisque, planned."""
    job = ask_for_week_plan(
        studio=cast.studio,
        monday=date(2026, 3, 16),
        by_hand=ByHand(),
        by=cast.technician,
        at=NOW,
    )
    # Where transactions are real the queue has done it already.
    if work := claimed(job_id=str(job.pk)):
        plan_the_week(work)
    return job


def fired(cast: School, slot: Slot) -> dict[str, Any]:
    """A pot packed into the slot, and two firings under way: one lit, one off."""
    by = cast.technician
    packed, waiting = (dried(a_pot(cast, f"A dry pot, {n}"), cast.teacher) for n in (1, 2))
    place_pots(slot=slot, pots=[packed], by=by, at=NOW)
    lit, off = (
        a_slot(by, kiln=a_kiln(by, name=name), on=date(2026, 3, 12))
        for name in ("Kiln by the door", "Kiln in the yard")
    )
    for under_way in (lit, off):
        pot = dried(a_pot(cast, f"A pot in the {under_way.kiln}"), cast.teacher)
        place_pots(slot=under_way, pots=[pot], by=by, at=NOW)
        light(slot=under_way, by=by, at=NOW, part_full_reason="Only one is dry")
        log_entry(slot=under_way, at=NOW, temp_c=85, note="vent on", by=by)
    shut_off(slot=off, at=NOW, by=by, witness_cone="06 down")
    reading = read_witness(slot=lit, at=NOW, by=by, cone="06", bent=0.5)
    return {
        "witness_reading": reading,
        "lit_slot": lit,
        "off_slot": off,
        "dry_pot": waiting,
        "packed_pot": packed,
    }
