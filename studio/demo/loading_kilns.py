"""Loads the demo's kiln room: kilns, glazes, what was fired and what is to come."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta
from typing import Any
from uuid import UUID

from studio.demo.loading_people import School
from studio.demo.material import WEEKDAYS, Material
from studio.kilns.heat.program import temperature_c
from studio.kilns.models import Firing, Program, Slot
from studio.kilns.selectors.loads import contents
from studio.kilns.selectors.programs import heat_segments
from studio.kilns.services.firing import Outcome, light, log_entry, shut_off, unload
from studio.kilns.services.kilns import set_up_kiln
from studio.kilns.services.loads import place_pots
from studio.kilns.services.nesting_pots import nest_pot
from studio.kilns.services.slots import add_slot, add_weekly_slots
from studio.people.models import User
from studio.room.models import Glaze, Kiln
from studio.room.services import add_glaze
from studio.room.services.kilns import Posts
from studio.ware.models import Pot
from studio.ware.selectors import ready_for_bisque, ready_for_glaze

LOG_HOURS = 2.0  # how often somebody looks at the kiln
LAST_LIT_WEEKDAY = 3  # a Thursday: nobody watches a kiln on a Friday night


@dataclass(frozen=True)
class Fired:
    """A firing that is over, up to the unloading."""

    slot: Slot
    by: User


def load_kilns(material: Material, school: School) -> None:
    """Kilns with the programs that come with them, and the shelf of glazes."""
    technician = school.staff["dillon.pryce"]
    made: dict[str, Kiln] = {}
    for row in material.kilns["kilns"]:
        values = {name: value for name, value in row.items() if name != "confirms"}
        values |= {name: time.fromisoformat(row[name]) for name in _HOURS}
        values["posts"] = tuple(Posts(*each) for each in row["posts"])
        values["confirms_shut_off"] = school.staff[row["confirms"]]
        values["not_together_with"] = [made[name] for name in row.get("not_together_with", ())]
        made[row["name"]] = set_up_kiln(studio=school.studio, by=technician, kiln=values)
    for row in material.kilns["glazes"]:
        add_glaze(studio=school.studio, by=technician, glaze=row)


_HOURS = ("start_from", "start_until", "off_from", "off_until")


def fire(name: str, pots: Sequence[Pot], material: Material, school: School) -> Fired:
    """Plan, load, light, log and shut off one of the firings of the file."""
    row = next(each for each in material.kilns["firings"] if each["name"] == name)
    by = school.staff["dillon.pryce"]
    on = _lit_on(school.clock.day(row["on"]))
    before = school.clock.at(on - timedelta(days=1), 15)
    slot = add_slot(
        kiln=_kiln(school, row),
        program=_program(school, row),
        on=on,
        start=time.fromisoformat(row["start"]),
        confirms=_kiln(school, row).confirms_shut_off,
        by=by,
        at=before,
    )
    place_pots(slot=slot, pots=pots, by=by, at=before)
    light(slot=slot, by=by, at=slot.starts_at, part_full_reason=row.get("part_full", ""))
    _log(slot, row["remark"], by)
    off = slot.ends_at + timedelta(minutes=4)
    shut_off(slot=slot, at=off, by=slot.confirms_shut_off, witness_cone=row["witness_cone"])
    slot.refresh_from_db()
    return Fired(slot, by)


def open_kiln(fired: Fired, results: Mapping[UUID, Outcome]) -> None:
    """Unload two hours after it was cool enough."""
    at = fired.slot.unload_at + timedelta(hours=2)
    unload(slot=fired.slot, results=results, by=fired.by, at=at, read_below=True)


def load_coming(material: Material, school: School) -> None:
    """Four weeks of firings; what is ready stands in the first ones."""
    for row in material.kilns["weekly"]:
        weekday = WEEKDAYS.index(row["weekday"])
        ahead = (weekday - school.clock.today.weekday()) % 7 or 7
        kiln = _kiln(school, row)
        weekly = add_weekly_slots(
            kiln=kiln,
            program=_program(school, row),
            on=school.clock.day(ahead),
            start=time.fromisoformat(row["start"]),
            weeks=row["weeks"],
            confirms=kiln.confirms_shut_off,
            by=school.staff["dillon.pryce"],
            at=school.clock.now,
        )
        if row["fill"] and weekly.made:
            _fill(weekly.made[0], school)


def _fill(slot: Slot, school: School) -> None:
    """With what is ready, as the technician does the day before."""
    ready = ready_for_glaze if slot.program.firing == Firing.GLAZE else ready_for_bisque
    if pots := [each.pot for each in ready(school.studio)]:
        by = school.staff["dillon.pryce"]
        place_pots(slot=slot, pots=pots, by=by, at=school.clock.now)
        if slot.program.firing == Firing.BISQUE and len(pots) > 1:
            _stack_two(slot, by)


def _stack_two(slot: Slot, by: User) -> None:
    """The two lowest, rim to rim: beakers of one clay and about one thickness."""
    rows = sorted(contents(slot).placements, key=lambda each: (each.height_mm, each.pot.code))
    upper, lower = sorted(rows[:2], key=lambda each: each.front_mm)
    high_mm = lower.height_mm + upper.height_mm
    nest_pot(slot=slot, pot=upper.pot, host=lower.pot, together_mm=high_mm, seen=(), by=by)


def glazes(school: School) -> dict[str, Glaze]:
    return {glaze.name: glaze for glaze in Glaze.objects.filter(studio=school.studio)}


def _log(slot: Slot, remark: str, by: User) -> None:
    segments = heat_segments(slot.program.segments)
    hours = (slot.ends_at - slot.starts_at) / timedelta(hours=1)
    read = [n * LOG_HOURS for n in range(1, int(hours / LOG_HOURS) + 1)]
    for n, hour in enumerate(read):
        # A pyrometer lags a little behind the controller.
        celsius = round(temperature_c(slot.program.start_c, segments, hour) - 3)
        at = slot.starts_at + timedelta(hours=hour)
        note = remark if n == len(read) // 2 else ""
        log_entry(slot=slot, at=at, temp_c=celsius, note=note, by=by)


def _kiln(school: School, row: dict[str, Any]) -> Kiln:
    return Kiln.objects.select_related("confirms_shut_off", "studio").get(
        studio=school.studio, name=row["kiln"]
    )


def _program(school: School, row: dict[str, Any]) -> Program:
    return Program.objects.filter(
        studio=school.studio,
        firing=row["firing"],
        name__icontains=row.get("program", ""),
    )[0]


def _lit_on(day: date) -> date:
    away = day.weekday() - LAST_LIT_WEEKDAY
    return day if away <= 0 else day + timedelta(days=7 - day.weekday())
