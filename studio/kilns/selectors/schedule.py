"""The kiln schedule of a week as words and outlines, for the print and for its page."""

from collections.abc import Callable, Collection, Iterable, Sequence
from datetime import date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from studio.kilns.hours import midnight
from studio.kilns.models import Firing, Placement, Slot
from studio.kilns.packing.inputs import Layer
from studio.kilns.sheets.by_class import ClassLine
from studio.kilns.sheets.firing import FiringPrint
from studio.kilns.sheets.maps import LayerPrint, LoadPrint, PotLine
from studio.kilns.sheets.schedule import OverviewLine, WeekPrint
from studio.kilns.sheets.times import Step
from studio.people.models import Section, Studio, User
from studio.units.scales import Units
from studio.ware.selectors import photos_missing
from studio.web.printing import footer_text
from studio.web.shown import (
    NBSP,
    day_text,
    length_text,
    length_unit_text,
    number_text,
    temperature_text,
)

from .heat_in_kiln import cone_said
from .loads import NOTHING, Contents, contents_of, layer_name, shelf_of
from .maps import guest_outlines, pot_outline, shelf_outline, surface_of
from .meanings import in_short, meanings
from .program_print import curve_print, hours_print, segments_print
from .programs import firing_of
from .slots import short_when_text, window_text

Address = Callable[[Slot], str]


def monday_of(on: date) -> date:
    return on - timedelta(days=on.weekday())


def slots_of_week(studio: Studio, monday: date) -> list[Slot]:
    """Firings of which something happens in the week: lit, off or unloaded."""
    start, end = (midnight(day, studio.zone) for day in (monday, monday + timedelta(weeks=1)))
    rows = Slot.objects.standing().filter(studio=studio, starts_at__lt=end, unload_at__gte=start)
    # Unloaded before the week, whatever was planned.
    rows = rows.exclude(unloaded_at__lt=start)
    return list(
        rows.select_related(
            "studio", "kiln", "program", "confirms_shut_off", "lit_by", "off_by", "unloaded_by"
        )
    )


def week_print(studio: Studio, monday: date, *, printed_on: date, address: Address) -> WeekPrint:
    """Everything of the week; pages for the firings that are lit in it. Four queries."""
    slots = slots_of_week(studio, monday)
    loads = contents_of(slots)
    start = midnight(monday, studio.zone)
    lit_here = [slot for slot in slots if slot.starts_at >= start]
    pots = [pot for slot in lit_here for pot in loads.get(slot.pk, NOTHING).pots]
    photos = set(photos_missing(pots))
    firings = [
        _firing(slot, loads.get(slot.pk, NOTHING), photos, address(slot)) for slot in lit_here
    ]
    return WeekPrint(
        title=_("Kiln schedule"),
        subtitle=_("Week from %(first)s to %(last)s · %(studio)s")
        % {
            "first": day_text(monday),
            "last": day_text(monday + timedelta(days=6)),
            "studio": studio.name,
        },
        footer=footer_text(studio.name, printed_on),
        lines=[_line(slot, loads.get(slot.pk, NOTHING), studio.zone) for slot in slots],
        firings=firings,
        words=meanings(studio, firings) if firings else [],
    )


def _line(slot: Slot, load: Contents, zone: ZoneInfo) -> OverviewLine:
    off = _("%(when)s, %(who)s") % {
        "when": short_when_text(slot.off_due_at, zone),
        "who": slot.confirms_shut_off.name,
    }
    return OverviewLine(
        start=short_when_text(slot.starts_at, zone),
        kiln=str(slot.kiln),
        program=str(slot.program),
        off=off,
        unload=_("%(window)s, below %(below)s")
        % {
            "window": window_text(*slot.unload_window, zone),
            "below": temperature_text(slot.kiln.unload_below_c),
        },
        pots=str(len(load.placements)),
    )


def _firing(slot: Slot, load: Contents, photos: Collection[UUID], address: str) -> FiringPrint:
    zone = slot.studio.zone
    kiln_day = {"kiln": slot.kiln, "day": day_text(_local(slot.starts_at, zone))}
    kind = (
        _("Bisque firing: dry pots, no glaze")
        if slot.program.firing == Firing.BISQUE
        else _("Glaze firing: glazed pots, none touches another")
    )
    return FiringPrint(
        title=_("%(kiln)s, %(day)s") % kiln_day,
        subtitle=" · ".join([kind, str(slot.program)]),
        notes=list(_notes(slot, load)),
        steps=list(_steps(slot)),
        segments=segments_print(slot),
        curve=curve_print(slot),
        cone=cone_said(slot),
        hours=hours_print(slot),
        checks=list(_checks(slot, load, photos)),
        load=LoadPrint(
            shelf=shelf_outline(shelf_of(slot.kiln)),
            layers=_layers(slot, load),
            surface=surface_of(slot.program.firing),
            bar=_bar(slot.studio),
        ),
        classes=_classes(load),
        short=in_short(slot.studio),
        address=address,
    )


def _notes(slot: Slot, load: Contents) -> Iterable[str]:
    if slot.note:
        yield slot.note
    if slot.program.note:
        yield slot.program.note
    if slot.part_full_reason:
        yield _("Fired part full because: %(reason)s") % {"reason": slot.part_full_reason}


def _steps(slot: Slot) -> Iterable[Step]:
    zone = slot.studio.zone
    below = {"below": temperature_text(slot.kiln.unload_below_c)}
    yield Step(
        _("Light it"),
        short_when_text(slot.starts_at, zone),
        _("a member of staff"),
        _done(slot.lit_at, slot.lit_by, zone),
        _("Done, time and name:"),
    )
    yield Step(
        _("Heating ends: should be off"),
        short_when_text(slot.off_due_at, zone),
        _("%(name)s sees at the kiln that it is off") % {"name": slot.confirms_shut_off.name},
        _done(slot.off_at, slot.off_by, zone),
        _("Done, time and name:"),
    )
    yield Step(
        _("Unload: expected to be cool"),
        window_text(*slot.unload_window, zone),
        _("staff, once it reads below %(below)s, never before") % below,
        _done(slot.unloaded_at, slot.unloaded_by, zone),
        _("Done, °C read, time and name:"),
    )


def _done(at: datetime | None, by: User | None, zone: ZoneInfo) -> str:
    if at is None or by is None:
        return ""
    return _("Done: %(when)s, %(who)s") % {"when": short_when_text(at, zone), "who": by.name}


def _checks(slot: Slot, load: Contents, photos: Collection[UUID]) -> Iterable[str]:
    if slot.program.firing == Firing.BISQUE:
        yield _(
            "Every pot feels dry: none is cold on the cheek, none has dark patches. In doubt, it "
            "stays out."
        )
        if any(each.host_id for each in load.placements):
            yield _(
                "Pots in or on others: bone dry, about as thick, nothing heavy on a thin rim, "
                "nothing glazed, none that could wedge as it shrinks."
            )
    else:
        yield _("Glazes are dry, every foot is clean, and no pot touches another.")
    # Of the cone that the program is written for, whatever this kiln makes of it.
    cone = firing_of(slot.program).cone
    cones = _("Witness cones for cone %(cone)s stand where the spy hole shows them.")
    yield cones % {"cone": cone} if cone else _("Witness cones stand where they can be seen.")
    yield _("Shelves are clean, their kiln wash up, on posts of the heights named; pots as drawn.")
    yield _("Nothing touches the elements, the sensor or the lid.")
    yield _("The vent is on. Nothing that burns is within the clearance around the kiln.")
    yield _("The program is typed in and read back, line by line.")
    told = _("%(name)s knows that they see to the shut-off, and when.")
    yield told % {"name": slot.confirms_shut_off.name}
    yield _("The room is locked, and no class sits in it until the kiln is off and cool.")
    missing = [each.pot.code for each in load.placements if each.pot_id in photos]
    if missing and slot.lit_at is None:
        message = _("A photo is taken of those that have none yet: %(codes)s.")
        yield message % {"codes": ", ".join(missing)}


def _layers(slot: Slot, load: Contents) -> Sequence[LayerPrint]:
    shelf = shelf_of(slot.kiln)
    return [
        LayerPrint(
            name=_layer(number, load),
            posts=_posts(
                layer,
                slot.studio,
                carries_halves=load.has_halves and number == load.last_whole,
            ),
            pots=[
                PotLine(
                    code=each.pot.code,
                    x_mm=each.x_mm,
                    y_mm=each.y_mm,
                    outline=pot_outline(each),
                    inside=guest_outlines(load, each),
                )
                for each in load.on_layer(number)
                if not each.host_id
            ],
            guests=[
                _guests(load, each, slot.studio)
                for each in load.on_layer(number)
                if load.guests_of(each)
            ],
            half=() if layer.part == "whole" else shelf_outline(shelf, layer.part),
            has_middle=load.has_halves and number >= load.last_whole,
        )
        for number, layer in enumerate(load.layers)
    ]


def _guests(load: Contents, host: Placement, units: Units) -> str:
    message = _("In or on %(host)s: %(guests)s, together %(length)s high")
    words = {
        "host": host.pot.code,
        "guests": ", ".join(each.pot.code for each in load.guests_of(host)),
        "length": length_text(host.together_mm or host.height_mm, units),
    }
    return message % words


def _posts(layer: Layer, units: Units, *, carries_halves: bool) -> str:
    """What holds up the next shelf, or the next ones where those are halves."""
    if not carries_halves:
        words = [(_("posts of %(length)s"), layer.post_mm)]
    else:
        words = [
            (_("left half: posts of %(length)s"), layer.post_mm),
            (_("right half: posts of %(length)s"), layer.right_post_mm),
        ]
    return ", ".join(
        message % {"length": length_text(post_mm, units)} for message, post_mm in words if post_mm
    )


def _layer(number: int, load: Contents) -> str:
    """Shorter than elsewhere: a map may be small."""
    if number == 0 and len(load.parts) > 1:
        return _("Layer 1, lowest")
    return layer_name(number, load.parts)


def _local(when: datetime, zone: ZoneInfo) -> datetime:
    return when.astimezone(zone).replace(tzinfo=None)


def _classes(load: Contents) -> list[ClassLine]:
    """By name, each with its pots by code."""
    found: dict[Section, list[tuple[str, str]]] = {}
    for pot in load.pots:
        pots = found.setdefault(pot.piece.assignment.section, [])
        pots.append((pot.code, pot.piece.student.short_name))
    stands = {
        each.pot.code: _("in or on %(host)s") % {"host": host.pot.code}
        for each in load.placements
        if (host := load.host_of(each))
    }
    return [
        ClassLine(section.title, section.code, sorted(pots), stands)
        for section, pots in sorted(found.items(), key=lambda each: each[0].title)
    ]


def _bar(studio: Studio) -> tuple[float, str]:
    """A length of the size of a pot, in the studio's units."""
    bars = {"mm": (100, 100.0), "cm": (10, 100.0), "in": (4, 4 * 25.4)}
    count, long_mm = bars[studio.length_unit]
    return long_mm, number_text(count) + NBSP + length_unit_text(studio)
