"""For how long the clay lasts, what to order of it, and what is on its way."""

from datetime import timedelta
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from studio.clay import services
from studio.clay.forms.orders import CameForm, OrderForm, PackForm
from studio.clay.models import Order, Pack
from studio.clay.selectors.supply import supplies
from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.idempotency import once_for_form
from studio.people.models import User
from studio.room.models import ClayBody
from studio.web.shown import mass_text

from .posting import posted


@only(*STAFF)
@require_safe
def clay_orders(request: HttpRequest) -> HttpResponse:
    """By clay body: needed and when, there, on its way, and what is to be ordered by when."""
    today = timezone.localdate()
    seen = supplies(studio_of(person_of(request)), today=today)
    context = {
        "supplies": [each for each in seen if each.matters],
        "quiet_bodies": [each.body for each in seen if not each.matters],
        "today": today,
    }
    return render(request, "clay/clay_orders.html", context)


@only(*STAFF)
def clay_order_new(request: HttpRequest) -> HttpResponse:
    """An order is written down, filled in as it was proposed; it goes to nobody from here."""
    by, today = person_of(request), timezone.localdate()
    bodies = ClayBody.objects.visible_to(by).in_use()
    asked = _key(request.GET.get("body"))
    body = bodies.filter(pk=asked).first() if asked else None
    initial = {"ordered_on": today, **(_proposed(by, body) if body else {})}
    form = OrderForm(request.POST or None, bodies=bodies, initial=initial, units=studio_of(by))

    def act() -> dict[str, Any]:
        values = form.cleaned_data
        order = services.place_order(by=by, at=timezone.now(), **values)
        return {"grams": order.grams, "body": order.body.name}

    if done := posted(request, form, act):
        message = _("%(mass)s of %(body)s are down as ordered.")
        words = {"mass": mass_text(done["grams"], studio_of(by)), "body": done["body"]}
        messages.success(request, message % words)
        return redirect("clay_orders")
    return render(request, "clay/clay_order_new.html", {"form": form})


def _key(text: str | None) -> UUID | None:
    try:
        return UUID(text or "")
    except ValueError:
        return None


def _proposed(by: User, body: ClayBody) -> dict[str, Any]:
    today = timezone.localdate()
    # None where the body is put away at this very moment.
    supply = next(
        (each for each in supplies(studio_of(by), today=today) if each.body == body), None
    )
    values: dict[str, Any] = {"body": body.pk}
    if supply is None or supply.pack is None:
        return values
    pack = supply.pack
    values |= {
        "bag_g": pack.bag_g,
        "currency": pack.currency,
        "expected_on": today + timedelta(days=pack.days_to_come),
    }
    if packs := supply.proposal:
        values |= {"bags": packs.bags_in_all, "cost": packs.cost}
    return values


@only(*STAFF)
def clay_order_came(request: HttpRequest, pk: UUID) -> HttpResponse:
    """It is counted, and becomes a lot."""
    by, order = person_of(request), _order(request, pk)
    initial = {"bags": order.bags, "label": order.note, "came_on": timezone.localdate()}
    form = CameForm(request.POST or None, initial=initial)

    def act() -> dict[str, Any]:
        lot = services.take_in_order(order=order, by=by, at=timezone.now(), **form.cleaned_data)
        return {"lot": str(lot.pk), "grams": lot.balance_g}

    if done := posted(request, form, act):
        message = _("%(mass)s are down as delivered.")
        messages.success(request, message % {"mass": mass_text(done["grams"], order.studio)})
        return redirect("lot", done["lot"])
    context = {"form": form, "order": order, "today": timezone.localdate()}
    return render(request, "clay/clay_order_came.html", context)


@only(*STAFF)
@require_POST
def clay_order_call_off(request: HttpRequest, pk: UUID) -> HttpResponse:
    order, by = _order(request, pk), person_of(request)

    def act() -> dict[str, Any]:
        services.call_off_order(order=order, by=by, at=timezone.now())
        return {"done": True}

    once_for_form(request, act)
    messages.success(request, _("The order is called off. It stays on record."))
    return redirect("clay_orders")


@only(*STAFF)
def clay_pack(request: HttpRequest, pk: UUID) -> HttpResponse:
    """In which bags and boxes a body is sold, at what price."""
    by = person_of(request)
    body = get_object_or_404(ClayBody.objects.visible_to(by).select_related("studio"), pk=pk)
    pack = Pack.objects.filter(body=body).first()
    initial = {name: getattr(pack, name) for name in services.PACK} if pack else {}
    form = PackForm(request.POST or None, initial=initial, units=body.studio)

    def act() -> dict[str, Any]:
        services.set_pack(body=body, by=by, values=form.cleaned_data)
        return {"done": True}

    if posted(request, form, act):
        messages.success(request, _("Kept."))
        return redirect("clay_orders")
    return render(request, "clay/clay_pack.html", {"form": form, "body": body})


def _order(request: HttpRequest, pk: UUID) -> Order:
    seen = Order.objects.visible_to(person_of(request)).select_related("studio", "body", "by")
    return get_object_or_404(seen, pk=pk)
