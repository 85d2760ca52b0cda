"""A pot of a bisque load that stands in or on another one of it: may it, and what does it change?

Unglazed ware may touch, nest or be stacked rim to rim in a bisque; glaze would join them. It is a
person who does it, by hand, and measures how high the pots are together.
"""

from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import replace
from uuid import UUID

from django.utils.translation import gettext as _

from studio.errors import Problem
from studio.kilns.furnished import raised, trimmed
from studio.kilns.models import Firing, Placement, Slot
from studio.ware.models import GreenwareCheck
from studio.web.shown import length_text

from .loads import Contents, furniture_of, stock_of
from .moving import new_troubles
from .waiting import keeps_out

ABOUT_MM = 5.0
"""Heights that are measured apart and together agree to this."""
UNEVEN = 1.5
"""From so many times as thick on, one wall dries and heats much later (common practice, no
source)."""

Companions = Mapping[UUID, frozenset[UUID]]
"""By pot that others stand in or on: those."""


def companions(load: Contents) -> Companions:
    found: dict[UUID, frozenset[UUID]] = {}
    for each in load.placements:
        if host := load.host_of(each):
            found[host.pot_id] = found.get(host.pot_id, frozenset()) | {each.pot_id}
    return found


def hosts_for(load: Contents, row: Placement) -> list[Placement]:
    """Pots of the load that it may stand in or on, by code."""
    found = (
        each
        for each in load.placements
        if each is not row and not each.host_id and not each.pot.lost
    )
    return sorted(found, key=lambda each: each.pot.code)


def why_not_nested(slot: Slot, load: Contents, row: Placement) -> str:
    """What keeps a pot from standing in or on any other of its load; empty where nothing does."""
    if slot.program.firing != Firing.BISQUE:
        return _(
            "In a glaze firing no pot touches another: glaze would join them. Only unglazed pots "
            "stand in or on each other, in a bisque."
        )
    guests = ", ".join(each.pot.code for each in load.guests_of(row))
    if guests:
        message = _("What stands in or on %(code)s must stand by itself first: %(guests)s.")
        return message % {"guests": guests, "code": row.pot.code}
    return ""


def against_pair(slot: Slot, row: Placement, host: Placement, load: Contents) -> list[Problem]:
    """Why a pot doesn't stand in or on this one."""
    if host is row:
        return [Problem(_("A pot can't stand in itself. Choose another one."), "host")]
    if other := load.host_of(host):
        message = _("%(host)s stands in or on %(other)s itself. Choose %(other)s, or another pot.")
        words = {"host": host.pot.code, "other": other.pot.code}
        return [Problem(message % words, "host")]
    against = keeps_out(slot, [row.pot, host.pot])
    fields = {row.pot_id: "", host.pot_id: "host"}
    return [Problem(why, fields[pk]) for pk, why in against.items()]


def height_together_mm(
    slot: Slot, load: Contents, row: Placement, host: Placement, measured_mm: float
) -> tuple[float, list[Problem]]:
    """As it is kept, never below the tallest of them; and why it can't be."""
    guests = (each for each in load.guests_of(host) if each is not row)
    heights = [each.height_mm for each in (row, host, *guests)]
    least, most = max(heights), sum(heights)
    problems = []
    if not measured_mm >= least - ABOUT_MM:
        message = _(
            "Together they are at least as high as the tallest of them, %(least)s. Measure again."
        )
        words = {"least": length_text(least, slot.studio)}
        problems.append(Problem(message % words, "together_mm"))
    elif measured_mm > most + ABOUT_MM:
        message = _("On top of each other they are %(most)s high. Measure again.")
        words = {"most": length_text(most, slot.studio)}
        problems.append(Problem(message % words, "together_mm"))
    return max(measured_mm, least), problems


def nested(
    slot: Slot, load: Contents, row: Placement, host: Placement, together_mm: float
) -> Contents:
    """The load as it would be, its layer on higher posts where it needs them and some are left; in
    a load with half shelves all posts stay. A shelf that is left empty on top goes.
    """
    there, holds = copy(row), copy(host)
    holds.together_mm, there.together_mm = together_mm, None
    there.host_id = holds.pk
    there.layer, there.x_mm, there.y_mm = holds.layer, holds.x_mm, holds.y_mm
    there.turn_deg, there.pinned = holds.turn_deg, holds.pinned
    now = {there.pk: there, holds.pk: holds}
    whole = replace(load, placements=tuple(now.get(each.pk, each) for each in load.placements))
    tall = {each.id: each.height_mm for each in whole.pieces}
    stock = stock_of(slot.kiln)
    layers = trimmed(whole.layers)
    if not load.has_halves:
        layers = raised(furniture_of(slot.kiln), stock, layers, holds.layer, tall)
    return whole.laid(layers)


def too_much(slot: Slot, load: Contents, after: Contents, host: Placement) -> list[Problem]:
    """Why the load doesn't hold them so: what is new against how it stands."""
    return [Problem(each) for each in new_troubles(slot, load, after, host.pot_id)]


def nest_cautions(load: Contents) -> list[str]:
    """What to look at by hand where pots stand in or on each other; one query, none where no pot
    does. Common practice, no source.
    """
    pairs = [(each, host) for each in load.placements if (host := load.host_of(each))]
    if not pairs:
        return []
    checks = GreenwareCheck.objects.standing().filter(pot__in=load.pots)
    thick = dict(checks.values_list("pot", "thickest_mm"))
    return [
        _(
            "Pots that stand in or on each other: only bone-dry ones of about the same thickness, "
            "nothing heavy on a thin rim, nothing glazed, none that could wedge as it shrinks."
        ),
        *_uneven(pairs, thick),
    ]


def _uneven(pairs: Sequence[tuple[Placement, Placement]], thick: Mapping[UUID, float]) -> list[str]:
    message = _(
        "%(one)s and %(other)s differ much in thickness, so one dries and heats later than the "
        "other: let them stand apart, or candle for the thicker one."
    )
    return [
        message % {"one": guest.pot.code, "other": host.pot.code}
        for guest, host in pairs
        if guest.pot_id in thick
        and host.pot_id in thick
        and max(thick[guest.pot_id], thick[host.pot_id])
        > UNEVEN * min(thick[guest.pot_id], thick[host.pot_id])
    ]
