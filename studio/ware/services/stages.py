"""Pots come to a stage, many at once or one; the student says that building has ended."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Conflict, Problem, Refused
from studio.people.audit import record
from studio.people.models import User
from studio.room.services.checking import line_of
from studio.ware.models import Pot, Stage, StageEntry
from studio.ware.selectors.pots import checked_pots
from studio.ware.stages import DAMP, Hindrance, hindrance

from .locking import locked_pot, locked_pots, note_changes, refuse_lost


def come_to_stage(
    *,
    pots: Sequence[Pot],
    stage: str,
    by: User,
    at: datetime,
    reason: str = "",
    in_kiln: bool = False,
) -> list[Pot]:
    """All of them or none. One that is there already stays as it is, so a second tap does nothing.

    A student's own pot comes to leather-hard; the rest is for staff. A step back needs a reason,
    and so does a fired stage: which kiln it came from, or why it is set by hand. `in_kiln`: see
    `locked_pots`.
    """
    if stage not in Stage.values:
        raise Refused(_("Choose a stage from the list."), field="stage")
    reason = line_of(reason, "reason", 400)
    with transaction.atomic():
        held = locked_pots(pots, by, in_kiln=in_kiln)
        refuse_lost(held)
        moving = [pot for pot in held if pot.stage != stage]
        checked = checked_pots(moving)
        refused = [
            _refusal(pot, stage, why)
            for pot in moving
            if (
                why := hindrance(
                    pot.stage,
                    stage,
                    staff=by.is_staff,
                    checked=pot.pk in checked,
                    reasoned=bool(reason),
                )
            )
        ]
        if refused:
            raise Refused.all_of(refused)
        move_on(moving, stage=stage, by=by, at=at, reason=reason)
    return held


def move_on(pots: Sequence[Pot], *, stage: str, by: User, at: datetime, reason: str = "") -> None:
    """Write the step, its entry and its audit line. The pots are held and the step is allowed."""
    if not pots:
        return
    changes = []
    entries = []
    for pot in pots:
        before = pot.stage
        entries.append(StageEntry(pot=pot, stage=stage, before=before, at=at, by=by, reason=reason))
        changes.append((pot, {"stage": before}, {"stage": stage, "reason": reason}))
        pot.stage, pot.stage_at = stage, at
        if stage not in DAMP:
            pot.covered_since = None
        if stage == Stage.COLLECTED:
            pot.place = pot.placed_at = None
    Pot.objects.bulk_update(pots, ["stage", "stage_at", "covered_since", "place", "placed_at"])
    StageEntry.objects.bulk_create(entries)
    note_changes(studio=pots[0].studio, by=by, action="pot came to a stage", changes=changes)


def say_built(*, pot: Pot, by: User, at: datetime) -> Pot:
    """Building has ended, as its maker says; the pot waits for the greenware check."""
    with transaction.atomic():
        held = locked_pot(pot, by)
        refuse_lost([held])
        if held.stage not in DAMP:
            message = _("%(code)s is %(stage)s already; building ended before that.")
            raise Conflict(message % {"code": held.code, "stage": held.get_stage_display()})
        if checked_pots([held]):
            raise Conflict(_("%(code)s is checked already.") % {"code": held.code})
        if held.said_built_at is None:
            _set_said_built(held, by, at)
    return held


def say_not_built(*, pot: Pot, by: User) -> Pot:
    """Building goes on after all; nothing waits any more."""
    with transaction.atomic():
        held = locked_pot(pot, by)
        if held.said_built_at is not None:
            _set_said_built(held, by, None)
    return held


def _set_said_built(pot: Pot, by: User, at: datetime | None) -> None:
    pot.said_built_at = at
    pot.save(update_fields=["said_built_at"])
    action = "building said to have ended" if at else "building goes on"
    record(studio=pot.studio, by=by, action=action, subject=pot)


def _refusal(pot: Pot, stage: str, why: Hindrance) -> Problem:
    words = {
        "code": pot.code,
        "now": pot.get_stage_display(),
        "stage": Stage(stage).label,
    }
    if why in {Hindrance.BACK_NEEDS_REASON, Hindrance.FIRED_NEEDS_REASON}:
        return Problem(_REASONS[why]() % words, "reason")
    return Problem(_REASONS[why]() % words, "pots")


_REASONS = {
    Hindrance.NOT_NEXT: lambda: _(
        "%(code)s is %(now)s; it can't come to %(stage)s in one step. Put down the steps between."
    ),
    Hindrance.STAFF_ONLY: lambda: _(
        "Your teacher puts down when a pot is %(stage)s. Show them %(code)s."
    ),
    Hindrance.BACK_NEEDS_REASON: lambda: _(
        "%(code)s was %(now)s already. Write why it goes back to %(stage)s."
    ),
    Hindrance.FIRED_NEEDS_REASON: lambda: _(
        "%(code)s comes to %(stage)s when its kiln is unloaded. To put it down by hand, write why."
    ),
    Hindrance.NEEDS_CHECK: lambda: _(
        "%(code)s has no greenware check. Check it before it is bone dry: after that it can't be "
        "mended."
    ),
}
