"""Flaws that were mended, and pots that broke or went missing."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import Piece
from studio.errors import Conflict, Refused
from studio.people.audit import record
from studio.people.models import User
from studio.room.services.checking import line_of
from studio.ware.models import Cause, Flaw, Loss, Lost, Pot, Stage

from .locking import (
    locked_pot,
    locked_pots,
    note_changes,
    refuse_each,
    refuse_lost,
    require_staff,
)


def note_flaw(
    *,
    pot: Pot,
    what: str,
    by: User,
    at: datetime,
    mended: str = "",
    cause: str = Cause.UNKNOWN,
    in_kiln: bool = False,
) -> Flaw:
    """A crack or the like; the pot goes on. Its cause is unknown until staff set it: whoever
    unloads a kiln may say it at once.

    `in_kiln`: see `locked_pots`.
    """
    _check_cause(cause)
    what, mended = line_of(what, "what", 200), line_of(mended, "mended", 200)
    if not what:
        message = _("Write what it is and where: “crack at the rim, left of the front”.")
        raise Refused(message, field="what")
    with transaction.atomic():
        [held] = locked_pots([pot], by, in_kiln=in_kiln)
        refuse_lost([held])
        flaw = Flaw.objects.create(pot=held, what=what, mended=mended, cause=cause, at=at, by=by)
        said = {"what": what, "mended": mended}
        if cause != Cause.UNKNOWN:
            said["cause"] = cause
        note_changes(studio=held.studio, by=by, action="flaw noted", changes=[(held, {}, said)])
    return flaw


def set_flaw_cause(*, flaw: Flaw, cause: str, by: User) -> Flaw:
    """What it came from, as staff judge it."""
    _check_cause(cause)
    with transaction.atomic():
        pot = _staff_pot(flaw.pot, by)
        kept = Flaw.objects.select_for_update().get(pk=flaw.pk)
        before, kept.cause = kept.cause, cause
        if before != cause:
            kept.save(update_fields=["cause"])
            _note_cause(pot, by, "cause of a flaw set", before, cause)
    return kept


def lose_pots(
    *,
    pots: Sequence[Pot],
    kind: str,
    by: User,
    at: datetime,
    note: str = "",
    cause: str = Cause.UNKNOWN,
    in_kiln: bool = False,
) -> list[Loss]:
    """They broke or are missing, all of them or none; another pot of each piece may begin.

    `in_kiln`: see `locked_pots`.
    """
    require_staff(by)
    note = line_of(note, "note", 400)
    if kind not in Lost.values:
        raise Refused(_("Say whether it broke or is missing."), field="kind")
    _check_cause(cause)
    with transaction.atomic():
        _lock_pieces(pots)
        held = locked_pots(pots, by, in_kiln=in_kiln)
        refuse_each(
            _("%(code)s is %(lost)s already.") % {"code": pot.code, "lost": pot.get_lost_display()}
            for pot in held
            if pot.lost
        )
        refuse_each(
            _("%(code)s is collected; what happens to it at home isn't kept here.")
            % {"code": pot.code}
            for pot in held
            if pot.stage == Stage.COLLECTED
        )
        losses = Loss.objects.bulk_create(
            Loss(pot=pot, kind=kind, cause=cause, note=note, stage=pot.stage, at=at, by=by)
            for pot in held
        )
        for pot in held:
            pot.lost, pot.covered_since, pot.said_built_at = kind, None, None
        Pot.objects.bulk_update(held, ["lost", "covered_since", "said_built_at"])
        said = {"lost": kind, "cause": cause, "note": note}
        note_changes(
            studio=held[0].studio,
            by=by,
            action="pot lost",
            changes=[(pot, {"lost": ""}, said) for pot in held],
        )
    return losses


def find_pot(*, pot: Pot, by: User, at: datetime) -> Pot:
    """It is here after all, or it was a mistake. Refused once another pot of the piece stands."""
    require_staff(by)
    with transaction.atomic():
        _lock_pieces([pot])
        held = locked_pot(pot, by)
        if not held.lost:
            raise Conflict(_("%(code)s is not lost.") % {"code": held.code})
        other = Pot.objects.standing().filter(piece=held.piece_id).select_related("piece").first()
        if other is not None:
            message = _(
                "%(other)s was begun in its stead. Put down what became of %(other)s before "
                "%(code)s takes its place again."
            )
            raise Conflict(message % {"other": other.code, "code": held.code})
        before, held.lost = held.lost, ""
        held.save(update_fields=["lost"])
        Loss.objects.filter(pot=held, found_at__isnull=True).update(found_at=at)
        changes = [(held, {"lost": before}, {"lost": ""})]
        note_changes(studio=held.studio, by=by, action="pot found", changes=changes)
    return held


def set_loss_cause(*, loss: Loss, cause: str, by: User) -> Loss:
    """What it came from, as staff judge it."""
    _check_cause(cause)
    with transaction.atomic():
        pot = _staff_pot(loss.pot, by)
        kept = Loss.objects.select_for_update().get(pk=loss.pk)
        before, kept.cause = kept.cause, cause
        if before != cause:
            kept.save(update_fields=["cause"])
            _note_cause(pot, by, "cause of a loss set", before, cause)
    return kept


def _staff_pot(pot: Pot, by: User) -> Pot:
    require_staff(by)
    return locked_pot(pot, by)


def _check_cause(cause: str) -> None:
    if cause not in Cause.values:
        raise Refused(_("Choose a cause from the list."), field="cause")


def _note_cause(pot: Pot, by: User, action: str, before: str, after: str) -> None:
    record(
        studio=pot.studio,
        by=by,
        action=action,
        subject=pot,
        before={"cause": before},
        after={"cause": after},
    )


def _lock_pieces(pots: Sequence[Pot]) -> None:
    """Before the pots: whoever begins another pot of one of these pieces waits here, and is seen.

    Rows of strangers are held for the moment until `locked_pots` refuses.
    """
    ids = {pot.piece_id for pot in pots}
    list(Piece.objects.select_for_update(of=("self",)).filter(pk__in=ids).order_by("pk"))
