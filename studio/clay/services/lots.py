"""Lots come in, and are written off."""

from datetime import date, datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from studio.clay.models import MOST_BAGS, Entry, EntryKind, Lot, LotKind
from studio.errors import Refused
from studio.people.models import Studio, User
from studio.people.names import tidy
from studio.people.services.checking import check_fields
from studio.people.services.dates import check_near
from studio.room.models import ClayBody
from studio.room.services.checking import require_staff

from .checking import checked_reason
from .posting import MOST_G, locked_lot, post, whole_grams


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
