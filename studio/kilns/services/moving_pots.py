"""A pot of a load is moved by hand. It stays where it was unless it fits at its new place."""

from datetime import datetime
from math import isfinite

from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Conflict, Problem, Refused
from studio.kilns.models import Placement, Slot
from studio.kilns.packing.tolerances import MOST_LENGTH_MM
from studio.kilns.selectors.loads import Contents, contents
from studio.kilns.selectors.moving import Spot, in_the_way, moved, row_of, spot_of
from studio.people.audit import record
from studio.people.models import User
from studio.room.services.checking import require_staff
from studio.ware.models import Pot

from .guests import forget_heights
from .loads import check_open, keep_layers, locked_slot


def move_pot(*, slot: Slot, pot: Pot, to: Spot, seen: Spot, by: User, at: datetime) -> Placement:
    """To another place, where it is pinned. `seen` is where the person saw it: moved meanwhile by
    somebody else, it stays there and the person is told. Its guests go with it; a guest that moves
    stands by itself.
    """
    require_staff(by, slot.studio)
    with transaction.atomic():
        kept = locked_slot(slot)
        check_open(kept)
        load = contents(kept)
        row = row_of(load, pot.pk)
        before = spot_of(row)
        if before == to:
            return row
        if before != seen:
            message = _(
                "%(code)s was moved meanwhile. Look where it stands now, and move it again."
            )
            raise Conflict(message % {"code": row.pot.code})
        check_spot(load, to)
        problems = in_the_way(kept, load, pot.pk, to)
        if problems:
            raise Refused.all_of(Problem(each) for each in problems)
        after, host = moved(kept, load, pot.pk, to), load.host_of(row)
        row = row_of(after, pot.pk)
        for each in (row, *after.guests_of(row)):
            each.pinned = True
            each.save(update_fields=["host", "layer", "x_mm", "y_mm", "turn_deg", "pinned"])
        forget_heights(kept)
        keep_layers(kept, after.layers)
        record(
            studio=kept.studio,
            by=by,
            action="pot moved in its load",
            subject=kept,
            before=_told(pot, before) | ({"host": str(host.pot_id)} if host else {}),
            after=_told(pot, spot_of(row)),
        )
    return row


def check_spot(load: Contents, spot: Spot) -> None:
    """A place that can be computed at all, on a layer that the load has or on a new one on top."""
    if not 0 <= spot.layer <= len(load.posts_mm):
        raise Refused(_("Choose one of the layers of this load."), field="layer")
    for field, value in (("x_mm", spot.x_mm), ("y_mm", spot.y_mm), ("turn_deg", spot.turn_deg)):
        if not (isfinite(value) and abs(value) <= MOST_LENGTH_MM):
            raise Refused(_("This must be an ordinary number."), field=field)


def _told(pot: Pot, spot: Spot) -> dict[str, str | float]:
    return {
        "pot": str(pot.pk),
        "layer": spot.layer,
        "x_mm": spot.x_mm,
        "y_mm": spot.y_mm,
        "turn_deg": spot.turn_deg,
    }
