"""Clay is ordered, comes, or is called off; and how each clay body is sold."""

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from studio.clay.models import Lot, Order, Pack
from studio.errors import Conflict, Refused
from studio.people.audit import record
from studio.people.models import User
from studio.people.names import tidy
from studio.people.services.checking import check_fields
from studio.people.services.dates import check_near
from studio.room.models import ClayBody
from studio.room.services.bodies import locked_body
from studio.room.services.checking import differences, require_staff

from .lots import receive_delivery
from .posting import whole_grams

PACK = (
    "bag_g",
    "bags_in_box",
    "sold_singly",
    "bag_price",
    "box_price",
    "currency",
    "days_to_come",
)


def set_pack(*, body: ClayBody, by: User, values: Mapping[str, Any]) -> Pack:
    """How the body is sold; `values` has a value for each name of `PACK`."""
    require_staff(by, body.studio)
    with transaction.atomic():
        kept = locked_body(body)
        pack = Pack.objects.filter(body=kept).first() or Pack(body=kept)
        before = _shown(pack) if pack.pk else {}
        for name in PACK:
            value = values[name]
            setattr(pack, name, tidy(value).upper() if name == "currency" else value)
        check_fields(pack)
        if (pack.bag_price is not None or pack.box_price is not None) and not pack.currency:
            message = _("Say in which currency the price is, such as EUR.")
            raise Refused(message, field="currency")
        pack.save()
        after = _shown(pack)
        was, now = differences(before or dict.fromkeys(after), after)
        if now:
            record(
                studio=kept.studio,
                by=by,
                action="clay pack set",
                subject=kept,
                before=was if before else {},
                after=now,
            )
    return pack


def place_order(
    *,
    body: ClayBody,
    bags: int,
    bag_g: float,
    ordered_on: date,
    expected_on: date,
    by: User,
    at: datetime,
    cost: Decimal | None = None,
    currency: str = "",
    note: str = "",
) -> Order:
    """So many bags are on their way. This writes the order down; it sends nothing to anybody."""
    require_staff(by, body.studio)
    today = at.astimezone(body.studio.zone).date()
    check_near(ordered_on, today, field="ordered_on")
    check_near(expected_on, today, field="expected_on")
    if expected_on < ordered_on:
        message = _("That is before the day of the order. Choose a later one.")
        raise Refused(message, field="expected_on")
    order = Order(
        studio=body.studio,
        body=body,
        bags=bags,
        bag_g=whole_grams(bag_g, "bag_g"),
        cost=cost,
        currency=tidy(currency).upper(),
        note=tidy(note),
        ordered_on=ordered_on,
        expected_on=expected_on,
        at=at,
        by=by,
    )
    check_fields(order)
    if cost is not None and not order.currency:
        raise Refused(_("Say in which currency that is, such as EUR."), field="currency")
    with transaction.atomic():
        order.save(force_insert=True)
        record(
            studio=order.studio,
            by=by,
            action="clay ordered",
            subject=order,
            after={
                "body": str(body.pk),
                "bags": bags,
                "bag_g": order.bag_g,
                "expected_on": expected_on.isoformat(),
            },
        )
    return order


def take_in_order(
    *, order: Order, bags: int, label: str, came_on: date, by: User, at: datetime
) -> Lot:
    """It came: a delivery of so many of its bags, which closes the order."""
    require_staff(by, order.studio)
    with transaction.atomic():
        kept = _locked(order)
        lot = receive_delivery(
            studio=kept.studio,
            body=kept.body,
            bags=bags,
            bag_g=kept.bag_g,
            label=label,
            came_on=came_on,
            by=by,
            at=at,
        )
        kept.lot = lot
        kept.save(update_fields=["lot"])
        record(
            studio=kept.studio,
            by=by,
            action="clay order came",
            subject=kept,
            before={"bags": kept.bags},
            after={"bags": bags, "lot": str(lot.pk)},
        )
    return lot


def call_off_order(*, order: Order, by: User, at: datetime) -> Order:
    """It won't come."""
    require_staff(by, order.studio)
    with transaction.atomic():
        kept = _locked(order)
        kept.called_off_at = at
        kept.save(update_fields=["called_off_at"])
        record(studio=kept.studio, by=by, action="clay order called off", subject=kept)
    return kept


def _locked(order: Order) -> Order:
    """The order, held, while it is on its way. Before the lot, which is made under it."""
    orders = Order.objects.select_for_update(of=("self",)).select_related("body", "studio")
    kept = orders.filter(pk=order.pk).first()
    if kept is None:
        raise PermissionDenied
    if kept.lot_id is not None:
        raise Conflict(_("This order came already and is a lot."))
    if kept.called_off_at is not None:
        raise Conflict(_("This order was called off."))
    return kept


def _shown(pack: Pack) -> dict[str, Any]:
    return {name: _plain(getattr(pack, name)) for name in PACK}


def _plain(value: Any) -> Any:
    return f"{value:.2f}" if isinstance(value, Decimal) else value
