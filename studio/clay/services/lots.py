"""Lots come in, go back into use, and are thrown away."""

from datetime import date, datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from studio.clay.models import Entry, EntryKind, Lot, LotKind
from studio.errors import Refused
from studio.people.models import Studio, User
from studio.people.names import tidy
from studio.people.services.checking import check_fields
from studio.people.services.dates import check_near
from studio.room.models import ClayBody
from studio.room.services.checking import require_staff

from .checking import checked_reason
from .posting import MOST_G, locked_lot, post, whole_grams

MOST_BAGS = 2000
# A clay that is a third water holds half its dry mass in water (standard conversion of wet to dry
# basis), and that is slip. What comes out can't be more than dry clay becomes.
MOST_READY = 1.5


def receive_delivery(
    *,
    studio: Studio,
    body: ClayBody,
    bags: int,
    bag_g: float | None,
    label: str,
    came_on: date,
    by: User,
    at: datetime,
    loose_g: float = 0,
) -> Lot:
    """Clay that came: so many bags of `bag_g` each, and loose clay beside or instead of them."""
    require_staff(by, studio)
    if body.studio_id != studio.pk:
        raise PermissionDenied
    if body.retired:
        message = _("%(body)s is no longer used here. Offer it again first, on its own list.")
        raise Refused(message % {"body": body}, field="body")
    _check_day(came_on, studio, at)
    lot = Lot(
        studio=studio,
        body=body,
        kind=LotKind.BOUGHT,
        label=tidy(label),
        bag_g=_bag_grams(bags, bag_g),
        came_on=came_on,
    )
    check_fields(lot)
    grams = bags * (lot.bag_g or 0) + (whole_grams(loose_g, "loose_g") if loose_g else 0)
    if not 0 < grams <= MOST_G:
        message = _("Count the bags, or weigh what came without bags; 10 tonnes at most.")
        raise Refused(message, field="bags")
    with transaction.atomic():
        lot.save(force_insert=True)
        post(lot=lot, kind=EntryKind.DELIVERY, grams=grams, by=by, at=at)
    return lot


def write_off(*, lot: Lot, grams: float, reason: str, by: User, at: datetime) -> Entry:
    """Clay that can't be used any more, with what happened to it."""
    require_staff(by, lot.studio)
    asked_g = whole_grams(grams)
    why = checked_reason(reason)
    with transaction.atomic():
        kept = locked_lot(lot)
        return post(lot=kept, kind=EntryKind.WRITE_OFF, grams=-asked_g, by=by, at=at, reason=why)


def reclaim(
    *, returned_lot: Lot, taken_g: float, ready_g: float, by: User, at: datetime, label: str = ""
) -> Lot:
    """Returned clay that was made ready again is a lot of its own.

    It holds other water than what went in, so both are weighed; what is lost or gained on the way
    is in the ledger as the difference of the two entries.
    """
    require_staff(by, returned_lot.studio)
    if returned_lot.kind != LotKind.RETURNED:
        raise Refused(_("Only clay that came back is reclaimed."), field="taken_g")
    taken, ready = whole_grams(taken_g, "taken_g"), whole_grams(ready_g, "ready_g")
    if ready > taken * MOST_READY:
        message = _(
            "That is more than the clay and the water can weigh. Check both weights; what was "
            "added from another lot is written down there."
        )
        raise Refused(message, field="ready_g")
    with transaction.atomic():
        source = locked_lot(returned_lot)
        out = post(lot=source, kind=EntryKind.RECLAIM, grams=-taken, by=by, at=at, field="taken_g")
        lot = Lot(
            studio=source.studio,
            body=source.body,
            kind=LotKind.RECLAIMED,
            label=tidy(label),
            came_on=at.astimezone(source.studio.zone).date(),
        )
        check_fields(lot)
        lot.save(force_insert=True)
        post(lot=lot, kind=EntryKind.RECLAIM, grams=ready, by=by, at=at, made_from=out)
    return lot


def _bag_grams(bags: int, bag_g: float | None) -> int | None:
    if not 0 <= bags <= MOST_BAGS:
        message = _("Count the bags: none to %(most)s.") % {"most": MOST_BAGS}
        raise Refused(message, field="bags")
    if bag_g is None:
        if bags:
            raise Refused(_("Say what one bag weighs; it is printed on it."), field="bag_g")
        return None
    return whole_grams(bag_g, "bag_g")


def _check_day(day: date, studio: Studio, at: datetime) -> None:
    today = at.astimezone(studio.zone).date()
    check_near(day, today, field="came_on")
    if day > today:
        message = _("This day is still to come. Enter the delivery when it is there.")
        raise Refused(message, field="came_on")
