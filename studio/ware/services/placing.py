"""Where pots stand, and whether they are wrapped against the air."""

from collections.abc import Sequence
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Conflict
from studio.people.models import User
from studio.ware.models import Place, Pot, Stage
from studio.ware.stages import DAMP

from .locking import locked_pots, note_changes, refuse_each, refuse_lost


def put_in_place(*, pots: Sequence[Pot], place: Place, by: User, at: datetime) -> list[Pot]:
    """All of them stand here from now on. Who stands here already keeps the time."""
    with transaction.atomic():
        # Place before pots, here and wherever else both are held.
        here = _locked_place(place, by)
        held = locked_pots(pots, by)
        refuse_lost(held)
        refuse_each(
            _("%(code)s is collected; it stands nowhere any more.") % {"code": pot.code}
            for pot in held
            if pot.stage == Stage.COLLECTED
        )
        moving = [pot for pot in held if pot.place_id != here.pk]
        changes = []
        for pot in moving:
            changes.append((pot, {"place": _name(pot)}, {"place": here.name}))
            pot.place, pot.placed_at = here, at
        Pot.objects.bulk_update(moving, ["place", "placed_at"])
        note_changes(studio=here.studio, by=by, action="pot put in a place", changes=changes)
    return held


def cover(*, pots: Sequence[Pot], by: User, at: datetime) -> list[Pot]:
    """Wrapped from now on; one that is wrapped already keeps the time since when it is."""
    with transaction.atomic():
        held = locked_pots(pots, by)
        refuse_lost(held)
        refuse_each(
            _("%(code)s is %(stage)s; a cover keeps nothing damp there any more.")
            % {"code": pot.code, "stage": pot.get_stage_display()}
            for pot in held
            if pot.stage not in DAMP
        )
        _set_covered([pot for pot in held if pot.covered_since is None], by, at)
    return held


def uncover(*, pots: Sequence[Pot], by: User, at: datetime) -> list[Pot]:
    """Open to the air; one that is open already stays so."""
    with transaction.atomic():
        held = locked_pots(pots, by)
        refuse_lost(held)
        _set_covered([pot for pot in held if pot.covered_since is not None], by, None)
    return held


def _set_covered(pots: list[Pot], by: User, since: datetime | None) -> None:
    if not pots:
        return
    changes = []
    for pot in pots:
        before = pot.covered_since.isoformat() if pot.covered_since else None
        after = since.isoformat() if since else None
        changes.append((pot, {"covered_since": before}, {"covered_since": after}))
        pot.covered_since = since
    Pot.objects.bulk_update(pots, ["covered_since"])
    action = "pot covered" if since else "pot uncovered"
    note_changes(studio=pots[0].studio, by=by, action=action, changes=changes)


def _locked_place(place: Place, by: User) -> Place:
    seen = Place.objects.visible_to(by).select_related("studio")
    here = seen.select_for_update(of=("self",)).filter(pk=place.pk).first()
    if here is None:
        raise PermissionDenied
    if here.retired:
        message = _("%(name)s is no longer used. Choose another place.")
        raise Conflict(message % {"name": here.name}, field="place")
    return here


def _name(pot: Pot) -> str:
    return pot.place.name if pot.place is not None else ""
