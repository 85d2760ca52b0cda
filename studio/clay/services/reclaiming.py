"""Scrap goes out to dry and comes back as clay: a lot of its own, with what was lost on the way."""

from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext as _

from studio.clay.models import Batch, Entry, EntryKind, Lot, LotKind
from studio.errors import Conflict, Refused
from studio.people.audit import record
from studio.people.models import User
from studio.people.names import tidy
from studio.people.services.checking import check_fields
from studio.people.services.dates import check_near
from studio.room.services.checking import require_staff

from .checking import checked_reason
from .posting import locked_lot, post, whole_grams

# A clay that is a third water holds half its dry mass in water (standard conversion of wet to dry
# basis), and that is slip. What comes out can't be more than dry clay becomes.
MOST_READY = 1.5


def reclaim(
    *, returned_lot: Lot, taken_g: float, ready_g: float, by: User, at: datetime, label: str = ""
) -> Lot:
    """Returned clay that was made ready again is a lot of its own, with both weights at once.

    It holds other water than what went in, so both are weighed; what is lost or gained on the way
    is in the ledger as the difference of the two entries. Of a mixed bucket it stays mixed.
    """
    require_staff(by, returned_lot.studio)
    _check_returned(returned_lot)
    taken, ready = whole_grams(taken_g, "taken_g"), whole_grams(ready_g, "ready_g")
    _check_yield(taken, ready)
    with transaction.atomic():
        source = locked_lot(returned_lot)
        out = post(lot=source, kind=EntryKind.RECLAIM, grams=-taken, by=by, at=at, field="taken_g")
        return _made_ready(out, source, ready, label=label, by=by, at=at)


def put_out_to_dry(
    *, returned_lot: Lot, taken_g: float, ready_on: date, by: User, at: datetime
) -> Batch:
    """Wet scrap leaves the bucket and dries, until `end_batch` weighs it again."""
    require_staff(by, returned_lot.studio)
    _check_returned(returned_lot)
    taken = whole_grams(taken_g, "taken_g")
    today = at.astimezone(returned_lot.studio.zone).date()
    check_near(ready_on, today, field="ready_on")
    if ready_on < today:
        message = _("This day is past. When will it be firm enough to wedge?")
        raise Refused(message, field="ready_on")
    with transaction.atomic():
        source = locked_lot(returned_lot)
        out = post(lot=source, kind=EntryKind.RECLAIM, grams=-taken, by=by, at=at, field="taken_g")
        return Batch.objects.create(out=out, ready_on=ready_on)


def end_batch(*, batch: Batch, ready_g: float, by: User, at: datetime, label: str = "") -> Lot:
    """It is wedged or pugged, and clay again."""
    ready = whole_grams(ready_g, "ready_g")
    with transaction.atomic():
        kept, source = _held(batch, by)
        _check_yield(kept.taken_g, ready)
        return _made_ready(kept.out, source, ready, label=label, by=by, at=at)


def throw_away_batch(*, batch: Batch, reason: str, by: User, at: datetime) -> Batch:
    """It can't become clay: plaster got in, or another body. All of it is lost."""
    why = checked_reason(reason)
    with transaction.atomic():
        kept, source = _held(batch, by)
        kept.thrown_away_at, kept.reason = at, why
        kept.save(update_fields=["thrown_away_at", "reason"])
        record(
            studio=source.studio,
            by=by,
            action="clay thrown away",
            subject=kept.out,
            before={"grams": kept.taken_g},
            after={"reason": why},
        )
    return kept


def _check_returned(lot: Lot) -> None:
    if lot.kind != LotKind.RETURNED:
        raise Refused(_("Only clay that came back is reclaimed."), field="taken_g")


def _check_yield(taken: int, ready: int) -> None:
    if ready > taken * MOST_READY:
        message = _(
            "That is more than the clay and the water can weigh. Check both weights; what was "
            "added from another lot is written down there."
        )
        raise Refused(message, field="ready_g")


def _held(batch: Batch, by: User) -> tuple[Batch, Lot]:
    """The batch while it dries, under the lock of the lot that it came from: whoever corrects its
    entry holds that lot too.
    """
    require_staff(by, batch.out.studio)
    source = locked_lot(batch.out.lot)
    kept = Batch.objects.select_related("out").get(pk=batch.pk)
    if Entry.objects.filter(made_from=kept.out).exists():
        raise Conflict(_("This batch was weighed already and is a lot."))
    if kept.thrown_away_at is not None:
        raise Conflict(_("This batch was thrown away."))
    if Entry.objects.filter(reverses=kept.out).exists():
        raise Conflict(_("This batch was put back into the bucket."))
    return kept, source


def _made_ready(out: Entry, source: Lot, ready: int, *, label: str, by: User, at: datetime) -> Lot:
    lot = Lot(
        studio=source.studio,
        body=source.body,
        kind=LotKind.RECLAIMED,
        mixed=source.mixed,
        label=tidy(label),
        came_on=at.astimezone(source.studio.zone).date(),
    )
    check_fields(lot)
    lot.save(force_insert=True)
    post(lot=lot, kind=EntryKind.RECLAIM, grams=ready, by=by, at=at, made_from=out)
    return lot
