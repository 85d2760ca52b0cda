"""The studio's clay bodies: a list that heads, teachers and technicians keep."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from studio.errors import Refused
from studio.people.access import STAFF, only, person_of, studio_of
from studio.room.forms.bodies import BodyForm, body_initial
from studio.room.models import ClayBody
from studio.room.services import add_body, bring_back_body, edit_body, retire_body
from studio.web.refusals import show_refusal


@only(*STAFF)
@require_safe
def bodies(request: HttpRequest) -> HttpResponse:
    seen = list(ClayBody.objects.visible_to(person_of(request)))
    context = {
        "bodies": [body for body in seen if not body.retired],
        "retired": [body for body in seen if body.retired],
    }
    return render(request, "room/bodies.html", context)


@only(*STAFF)
def body_new(request: HttpRequest) -> HttpResponse:
    by = person_of(request)
    form = BodyForm(request.POST or None)
    if form.is_valid():
        try:
            body = add_body(studio=studio_of(by), by=by, body=form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("%(name)s is on the list.") % {"name": body.name})
            return redirect("bodies")
    return render(request, "room/body_new.html", {"form": form})


@only(*STAFF)
def body_edit(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    body = body_of(request, pk)
    form = BodyForm(request.POST or None, initial=body_initial(body))
    if form.is_valid():
        try:
            edit_body(body=body, by=by, values=form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("Kept."))
            return redirect("bodies")
    context = {"form": form, "body": body, "bars": body.bars.count()}
    return render(request, "room/body_edit.html", context)


@only(*STAFF)
@require_POST
def body_retire(request: HttpRequest, pk: UUID) -> HttpResponse:
    body = retire_body(body=body_of(request, pk), by=person_of(request))
    message = _("%(name)s is no longer offered. You find it below the list.")
    messages.success(request, message % {"name": body.name})
    return redirect("bodies")


@only(*STAFF)
@require_POST
def body_bring_back(request: HttpRequest, pk: UUID) -> HttpResponse:
    body = bring_back_body(body=body_of(request, pk), by=person_of(request))
    messages.success(request, _("%(name)s is offered again.") % {"name": body.name})
    return redirect("bodies")


def body_of(request: HttpRequest, pk: UUID) -> ClayBody:
    """The body of the address, for somebody who may see it."""
    seen = ClayBody.objects.visible_to(person_of(request)).select_related("studio")
    return get_object_or_404(seen, pk=pk)
