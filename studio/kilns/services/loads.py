"""Pots go into a kiln's load and out of it. Each stands at an exact place; what stands never moves
unless it is placed anew.

Two people who load at once meet at the slot's row, then at the pots' rows in the order of their
keys. The layout is worked out before, from what stood then; it is worked out again under the lock
only if that changed meanwhile.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Conflict, Problem, Refused
from studio.kilns.furnished import Furnished, trimmed
from studio.kilns.models import Load, Placement, Slot
from studio.kilns.models.slot import CHANGED
from studio.kilns.packing.inputs import Layer, Piece
from studio.kilns.selectors.loads import (
    Contents,
    contents,
    layer_numbers,
    piece_of,
    right_post_mm,
)
from studio.kilns.selectors.reasons import left_out_reason
from studio.kilns.selectors.waiting import elsewhere, keeps_out
from studio.people.audit import record
from studio.people.models import User
from studio.room.services.checking import require_staff
from studio.ware.models import GreenwareCheck, Pot

from .guests import check_guests_go_too, forget_heights, with_companions
from .layouts import Asked

MOST_POTS = 150


@dataclass(frozen=True)
class LeftOut:
    """A pot that could not be placed, and why in a sentence."""

    pot: Pot
    reason: str


@dataclass(frozen=True)
class Loaded:
    """What went in, and what did not."""

    placed: list[Placement]
    left_out: list[LeftOut]


@dataclass(frozen=True)
class WorkedOut:
    """A layout for a load as it stood."""

    asked: Asked
    found: Furnished


def work_out(*, slot: Slot, pots: Sequence[Pot], by: User) -> WorkedOut:
    """Where the pots would stand. Writes and holds nothing: pages call it before their write."""
    require_staff(by, slot.studio)
    return _worked_out(_asked(slot, contents(slot), _fit_to_place(slot, pots)[0]))


def place_pots(
    *,
    slot: Slot,
    pots: Sequence[Pot],
    by: User,
    at: datetime,
    worked_out: WorkedOut | None = None,
) -> Loaded:
    """Those that fit go in, the most urgent first as they are given; the others are named with
    the reason. Refused when none goes in.
    """
    _check_pots(slot, pots, by)
    ready = worked_out or work_out(slot=slot, pots=pots, by=by)
    with transaction.atomic():
        kept = locked_slot(slot)
        check_open(kept)
        held = _locked_pots(pots)
        fit, left_out = _fit_to_place(kept, held)
        standing = contents(kept)
        asked = _asked(kept, standing, fit)
        if asked != ready.asked:
            ready = _worked_out(asked)
        left_out += [
            LeftOut(pot, left_out_reason(pot, piece, ready.found.left_out[piece.id], kept))
            for pot, piece in fit
            if piece.id in ready.found.left_out
        ]
        if len(left_out) == len(held):
            raise Conflict.all_of(Problem(each.reason, "pots") for each in left_out)
        load = keep_layers(kept, ready.found.layers)
        placed = _written(load, ready.found.layers, fit, by, at)
        _keep_changed(kept, at)
        said = {"pots": [str(each.pot_id) for each in placed]}
        record(studio=kept.studio, by=by, action="pots placed", subject=kept, after=said)
    return Loaded(placed, left_out)


def take_out(*, slot: Slot, pots: Sequence[Pot], by: User, at: datetime) -> list[Pot]:
    """Out of the load again, pinned ones too. The others stay where they are; one that isn't in it
    is passed over, so a second tap does nothing. A pot goes only with what stands in or on it.
    """
    _check_pots(slot, pots, by)
    with transaction.atomic():
        kept = locked_slot(slot)
        check_open(kept)
        rows = Placement.objects.filter(load__slot=kept, pot__in=pots)
        gone = [each.pot for each in rows.select_related("pot__piece")]
        if gone:
            check_guests_go_too(kept, pots)
            rows.delete()
            forget_heights(kept)
            after = contents(kept)
            keep_layers(kept, trimmed(after.layers))
            _keep_changed(kept, at)
            said = {"pots": [str(pot.pk) for pot in gone]}
            record(studio=kept.studio, by=by, action="pots taken out", subject=kept, before=said)
    return gone


def pin_pots(*, slot: Slot, pots: Sequence[Pot], pinned: bool, by: User) -> list[Placement]:
    """Pinned pots stay where they are when the load is placed anew; those that stand in or on each
    other are pinned together.
    """
    _check_pots(slot, pots, by)
    with transaction.atomic():
        kept = locked_slot(slot)
        check_open(kept)
        rows = with_companions(kept, pots).exclude(pinned=pinned)
        changed = list(rows.select_related("pot__piece", "host"))
        for each in changed:
            each.pinned = pinned
        Placement.objects.bulk_update(changed, ["pinned"])
        if changed:
            action = "pots pinned" if pinned else "pots unpinned"
            said = {"pots": [str(each.pot_id) for each in changed]}
            record(studio=kept.studio, by=by, action=action, subject=kept, after=said)
    return changed


def place_anew(*, slot: Slot, by: User, at: datetime) -> bool:
    """All but the pinned pots are placed again, which may make room. Where that would leave one
    out nothing moves, and the answer is False.
    """
    require_staff(by, slot.studio)
    # Before the lock, so that nobody waits for the computing; under it load and kiln are compared.
    ready = _worked_out(_asked_anew(slot, contents(slot)))
    with transaction.atomic():
        kept = locked_slot(slot)
        check_open(kept)
        load = contents(kept)
        asked = _asked_anew(kept, load)
        if asked != ready.asked:
            ready = _worked_out(asked)
        moving = [each for each in load.placements if not each.pinned]
        if ready.found.left_out or not moving:
            return False
        at_ = _places(ready.found.layers)
        for each in moving:
            each.layer, place = at_[(load.host_of(each) or each).pot_id]
            each.x_mm, each.y_mm, each.turn_deg = place.x_mm, place.y_mm, place.turn_deg
        Placement.objects.bulk_update(moving, ["layer", "x_mm", "y_mm", "turn_deg"])
        keep_layers(kept, ready.found.layers)
        said = {"pots": [str(each.pot_id) for each in moving]}
        record(studio=kept.studio, by=by, action="load placed anew", subject=kept, after=said)
    return True


def locked_slot(slot: Slot) -> Slot:
    """As it is now, held until the transaction ends."""
    slots = Slot.objects.select_for_update(of=("self",))
    return slots.select_related("studio", "kiln", "program", "confirms_shut_off").get(pk=slot.pk)


def _check_pots(slot: Slot, pots: Sequence[Pot], by: User) -> None:
    require_staff(by, slot.studio)
    if not pots:
        raise Refused(_("Choose at least one pot."), field="pots")
    if len(pots) > MOST_POTS:
        message = _("Choose at most %(most)s pots at once.") % {"most": MOST_POTS}
        raise Refused(message, field="pots")
    if any(pot.studio_id != slot.studio_id for pot in pots):
        raise Refused(_("Choose pots of this studio."), field="pots")


def check_open(slot: Slot) -> None:
    if slot.cancelled_at is not None:
        raise Conflict(_("This firing is cancelled. Choose another one."))
    if slot.lit_at is not None:
        raise Conflict(_("The kiln is lit: nothing goes in or out until it is unloaded."))


def _locked_pots(pots: Sequence[Pot]) -> list[Pot]:
    """Held in the order of their keys, and given back in the order of urgency."""
    rows = (
        Pot.objects.select_for_update(of=("self",))
        .filter(pk__in=[pot.pk for pot in pots])
        .select_related("piece__assignment", "plan")
        .order_by("pk")
    )
    found = {pot.pk: pot for pot in rows}
    return [found[pk] for pk in dict.fromkeys(pot.pk for pot in pots)]


def _fit_to_place(slot: Slot, pots: Sequence[Pot]) -> tuple[list[tuple[Pot, Piece]], list[LeftOut]]:
    """Pots whose checks stand, at their checked sizes; and the others with the reason."""
    pots = list(dict.fromkeys(pots))
    against = keeps_out(slot, pots) | elsewhere(slot, pots)
    checks = {
        check.pot_id: check for check in GreenwareCheck.objects.standing().filter(pot__in=pots)
    }
    fit = [(pot, piece_of(pot, checks[pot.pk])) for pot in pots if pot.pk not in against]
    return fit, [LeftOut(pot, against[pot.pk]) for pot in pots if pot.pk in against]


def _asked(slot: Slot, standing: Contents, fit: Iterable[tuple[Pot, Piece]]) -> Asked:
    pieces = (*standing.pieces, *(piece for _pot, piece in fit))
    return Asked.of(slot.kiln, pieces, standing.layers)


def _asked_anew(slot: Slot, load: Contents) -> Asked:
    """All pots of the load; only the pinned ones stand."""
    pinned = load.pinned
    layers = [
        replace(each, placements=tuple(p for p in each.placements if p.id in pinned))
        for each in load.layers
    ]
    return Asked.of(slot.kiln, load.pieces, trimmed(layers))


def _worked_out(asked: Asked) -> WorkedOut:
    return WorkedOut(asked, asked.layout())


def keep_layers(slot: Slot, layers: Sequence[Layer]) -> Load:
    """The shelves and posts of a locked slot's load, and on which of them its pots stand: a half
    shelf more or less on the left changes the numbers of those on the right.
    """
    halved = any(each.part != "whole" for each in layers)
    shelves = {
        "posts_mm": [each.post_mm for each in layers],
        "parts": [each.part for each in layers] if halved else [],
        "right_post_mm": right_post_mm(layers),
    }
    load, _made = Load.objects.update_or_create(slot=slot, defaults=shelves)
    numbers, changed = layer_numbers(layers), []
    for row in Placement.objects.filter(load=load).select_related("host"):
        number = numbers[str((row.host or row).pot_id)]
        if row.layer != number:
            row.layer = number
            changed.append(row)
    Placement.objects.bulk_update(changed, ["layer"])
    return load


def _keep_changed(slot: Slot, at: datetime) -> None:
    slot.changed(at)
    slot.save(update_fields=CHANGED)


def _places(layers: Sequence[Layer]) -> Mapping[UUID, tuple[int, Any]]:
    return {
        UUID(each.id): (number, each)
        for number, layer in enumerate(layers)
        for each in layer.placements
    }


def _written(
    load: Load,
    layers: Sequence[Layer],
    fit: Iterable[tuple[Pot, Piece]],
    by: User,
    at: datetime,
) -> list[Placement]:
    found = _places(layers)
    return Placement.objects.bulk_create(
        Placement(
            load=load,
            pot=pot,
            layer=found[pot.pk][0],
            x_mm=found[pot.pk][1].x_mm,
            y_mm=found[pot.pk][1].y_mm,
            turn_deg=found[pot.pk][1].turn_deg,
            front_mm=piece.front_mm,
            depth_mm=piece.depth_mm,
            height_mm=piece.height_mm,
            at=at,
            by=by,
        )
        for pot, piece in fit
        if pot.pk in found
    )
