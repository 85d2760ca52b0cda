"""A pot of a bisque load is put in or on another one, by hand, and stands by itself again."""

from collections.abc import Collection
from dataclasses import replace
from datetime import datetime
from math import isfinite
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Conflict, Refused
from studio.kilns.models import Placement, Slot
from studio.kilns.selectors.loads import Contents, contents, own_piece
from studio.kilns.selectors.moving import row_of
from studio.kilns.selectors.nesting import (
    against_pair,
    companions,
    height_together_mm,
    nested,
    too_much,
    why_not_nested,
)
from studio.kilns.selectors.reasons import left_out_reason
from studio.people.audit import record
from studio.people.models import User
from studio.room.services.checking import require_staff
from studio.ware.models import Pot

from .guests import forget_heights
from .layouts import Asked
from .loads import check_open, keep_layers, locked_slot


def nest_pot(
    *, slot: Slot, pot: Pot, host: Pot, together_mm: float, seen: Collection[UUID], by: User
) -> Placement:
    """In or on a host of the same load, from now on at the host's place; or measured anew.

    `together_mm`: how high the host and all its guests are, as somebody measured it. `seen` are
    the pots that this person saw in or on the host: with others the height is another one.
    """
    require_staff(by, slot.studio)
    if not isfinite(together_mm):
        raise Refused(_("This must be an ordinary number."), field="together_mm")
    with transaction.atomic():
        kept = locked_slot(slot)
        check_open(kept)
        load = contents(kept)
        row, holds = row_of(load, pot.pk), row_of(load, host.pk)
        before = _told(load, row)
        _check_may(kept, load, row, holds)
        high_mm, problems = height_together_mm(kept, load, row, holds, together_mm)
        if row.host_id == holds.pk and holds.together_mm == high_mm:
            return row
        _check_seen(load, row, holds, seen)
        after = nested(kept, load, row, holds, high_mm)
        problems = problems or too_much(kept, load, after, holds)
        if problems:
            raise Refused.all_of(problems)
        row = _written(after, row, holds)
        keep_layers(kept, after.layers)
        record(
            studio=kept.studio,
            by=by,
            action="pot nested in its load",
            subject=kept,
            before=before,
            after=_told(after, row),
        )
    return row


def stand_by_itself(*, slot: Slot, pot: Pot, by: User, at: datetime) -> Placement:
    """At a place of its own, looked for as in loading. Nothing changes where there is none."""
    require_staff(by, slot.studio)
    # Before the lock, so that nobody waits for the computing; under it load and kiln are compared.
    before = contents(slot)
    asked = _asked(slot, before, row_of(before, pot.pk))
    found = asked.layout() if asked else None
    with transaction.atomic():
        kept = locked_slot(slot)
        check_open(kept)
        load = contents(kept)
        row = row_of(load, pot.pk)
        host = load.host_of(row)
        now = _asked(kept, load, row)
        if host is None or now is None:
            return row
        if found is None or now != asked:
            found = now.layout()
        piece = own_piece(row)
        if piece.id in found.left_out:
            raise Conflict(left_out_reason(row.pot, piece, found.left_out[piece.id], kept))
        row.layer, place = next(
            (number, each)
            for number, layer in enumerate(found.layers)
            for each in layer.placements
            if each.id == piece.id
        )
        row.x_mm, row.y_mm, row.turn_deg = place.x_mm, place.y_mm, place.turn_deg
        row.host, row.pinned, row.at, row.by = None, False, at, by
        row.save()
        forget_heights(kept)
        keep_layers(kept, found.layers)
        said = {"pot": str(row.pot_id), "host": str(host.pot_id)}
        record(studio=kept.studio, by=by, action="pot stands by itself", subject=kept, before=said)
    return row


def _check_may(slot: Slot, load: Contents, row: Placement, host: Placement) -> None:
    if why := why_not_nested(slot, load, row):
        raise Refused(why)
    stands = load.host_of(row)
    if stands is not None and stands is not host:
        message = _("%(code)s stands in or on %(host)s already. Let it stand by itself first.")
        raise Conflict(message % {"code": row.pot.code, "host": stands.pot.code})
    if problems := against_pair(slot, row, host, load):
        raise Refused.all_of(problems)


def _check_seen(load: Contents, row: Placement, host: Placement, seen: Collection[UUID]) -> None:
    """The height was measured with just these pots."""
    stand = companions(load).get(host.pot_id, frozenset())
    if stand - {row.pot_id} != set(seen) - {row.pot_id}:
        message = _(
            "What stands in or on %(host)s has changed meanwhile. Look at the load, measure how "
            "high they are now, and type that."
        )
        raise Conflict(message % {"host": host.pot.code})


def _written(after: Contents, row: Placement, host: Placement) -> Placement:
    there, holds = row_of(after, row.pot_id), row_of(after, host.pot_id)
    holds.save(update_fields=["together_mm"])
    there.save(update_fields=["host", "together_mm", "layer", "x_mm", "y_mm", "turn_deg", "pinned"])
    return there


def _asked(slot: Slot, load: Contents, row: Placement) -> Asked | None:
    """The load without a guest, and the guest as a pot that waits; None for one that isn't."""
    if not row.host_id:
        return None
    without = replace(load, placements=tuple(each for each in load.placements if each is not row))
    return Asked.of(slot.kiln, (*without.pieces, own_piece(row)), without.layers)


def _told(load: Contents, row: Placement) -> dict[str, str | float | None]:
    host = load.host_of(row)
    return {
        "pot": str(row.pot_id),
        "host": str(host.pot_id) if host else None,
        "together_mm": host.together_mm if host else None,
    }
