"""What is looked at by hand: dryness before the bisque, the glaze before the second firing."""

from collections.abc import Collection, Sequence
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Conflict, Refused
from studio.people.models import User
from studio.room.cones import common_range
from studio.room.models import Glaze
from studio.room.services.checking import line_of
from studio.ware.models import DrynessCheck, GlazeCheck, Pot, Stage
from studio.ware.selectors.pots import checked_pots

from .locking import (
    locked_pot,
    locked_pots,
    note_changes,
    refuse_each,
    refuse_lost,
    require_staff,
)
from .stages import move_on


def check_dryness(
    *, pots: Sequence[Pot], air_dry: bool, by: User, at: datetime, note: str = ""
) -> list[DrynessCheck]:
    """By hand and by eye, all of them or none. Air dry is not safe: they are candled still.

    A leather-hard pot that is found air dry comes to bone dry with it.
    """
    require_staff(by)
    note = line_of(note, "note", 200)
    with transaction.atomic():
        held = locked_pots(pots, by)
        refuse_lost(held)
        refuse_each(
            _("%(code)s is %(stage)s; dryness is checked between leather-hard and the bisque.")
            % {"code": pot.code, "stage": pot.get_stage_display()}
            for pot in held
            if pot.stage not in {Stage.LEATHER_HARD, Stage.BONE_DRY}
        )
        checked = checked_pots(held)
        refuse_each(
            _("%(code)s has no greenware check; that one comes first.") % {"code": pot.code}
            for pot in held
            if pot.pk not in checked
        )
        checks = DrynessCheck.objects.bulk_create(
            DrynessCheck(pot=pot, air_dry=air_dry, note=note, at=at, by=by) for pot in held
        )
        said = {"air_dry": air_dry, "note": note}
        note_changes(
            studio=held[0].studio,
            by=by,
            action="dryness checked",
            changes=[(pot, {}, said) for pot in held],
        )
        if air_dry:
            drying = [pot for pot in held if pot.stage == Stage.LEATHER_HARD]
            move_on(drying, stage=Stage.BONE_DRY, by=by, at=at)
    return checks


def check_glaze(
    *,
    pot: Pot,
    glazes: Collection[Glaze],
    foot_clean: bool,
    thickness_fits: bool,
    by: User,
    at: datetime,
    note: str = "",
) -> GlazeCheck:
    """What is on the pot, and that it won't stick or run off. The newest check counts.

    A bisque-fired pot comes to glazed with it.
    """
    require_staff(by)
    note = line_of(note, "note", 200)
    with transaction.atomic():
        held = locked_pot(pot, by)
        refuse_lost([held])
        if held.stage not in {Stage.BISQUE_FIRED, Stage.GLAZED}:
            message = _("%(code)s is %(stage)s; the glaze is checked before the glaze firing.")
            raise Conflict(message % {"code": held.code, "stage": held.get_stage_display()})
        used = _offered_glazes(held, glazes)
        check = GlazeCheck.objects.create(
            pot=held, foot_clean=foot_clean, thickness_fits=thickness_fits, note=note, at=at, by=by
        )
        check.glazes.set(used)
        said = {
            "glazes": [glaze.name for glaze in used],
            "foot_clean": foot_clean,
            "thickness_fits": thickness_fits,
            "note": note,
        }
        note_changes(studio=held.studio, by=by, action="glaze checked", changes=[(held, {}, said)])
        if held.stage == Stage.BISQUE_FIRED:
            move_on([held], stage=Stage.GLAZED, by=by, at=at)
    return check


def _offered_glazes(pot: Pot, glazes: Collection[Glaze]) -> list[Glaze]:
    wanted = {glaze.pk for glaze in glazes}
    if not wanted:
        raise Refused(_("Choose the glazes that are on the pot."), field="glazes")
    used = list(Glaze.objects.in_use().filter(studio=pot.studio_id, pk__in=wanted))
    if len(used) < len(wanted):
        raise Refused(_("Choose glazes from the studio's list."), field="glazes")
    if common_range([(glaze.cone_from, glaze.cone_to) for glaze in used]) is None:
        message = _(
            "These glazes don't ripen at one cone, so no firing suits this pot. Ask before it is "
            "fired, or choose again what is on it."
        )
        raise Refused(message, field="glazes")
    return used
