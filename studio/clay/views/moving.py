"""Clay comes, goes and comes back; what was written wrongly is put right."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from studio.clay import services
from studio.clay.forms.moving import (
    BucketForm,
    CorrectForm,
    DeliveryForm,
    IssueForm,
    PotReturnForm,
    WriteOffForm,
)
from studio.clay.models import Entry, Lot
from studio.clay.selectors.pots import lot_of
from studio.errors import Refused
from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.models import Studio, User
from studio.web.shown import mass_text

from .posting import posted


@only(*STAFF)
def delivery(request: HttpRequest) -> HttpResponse:
    """Clay that came."""
    by = person_of(request)
    studio = studio_of(by)
    initial = {"came_on": timezone.localdate()}
    form = DeliveryForm(request.POST or None, initial=initial, by=by, units=studio)

    def act() -> dict[str, Any]:
        lot = services.receive_delivery(
            studio=studio, by=by, at=timezone.now(), **form.cleaned_data
        )
        return {"lot": str(lot.pk), "grams": lot.balance_g}

    if done := posted(request, form, act):
        message = _("%(mass)s are down as delivered.")
        messages.success(request, message % {"mass": mass_text(done["grams"], studio)})
        return redirect("lot", done["lot"])
    return render(request, "clay/delivery.html", {"form": form})


@only(*STAFF)
def issue(request: HttpRequest) -> HttpResponse:
    """Clay for a class or a table; pots have the issue list of their class."""
    by = person_of(request)
    studio = studio_of(by)
    initial = {name: request.GET.get(name) for name in ("section", "lot") if request.GET.get(name)}
    form = IssueForm(request.POST or None, initial=initial, by=by, units=studio)

    def act() -> dict[str, Any]:
        lot, grams = form.cleaned_data["lot"], form.cleaned_data["grams"]
        section, at = form.cleaned_data["section"], timezone.now()
        if section:
            entry = services.issue_to_class(section=section, lot=lot, grams=grams, by=by, at=at)
        else:
            table = form.cleaned_data["table"]
            entry = services.issue_to_table(table=table, lot=lot, grams=grams, by=by, at=at)
        return {"to": section.title if section else entry.table, "grams": -entry.grams}

    if done := posted(request, form, act):
        message = _("%(mass)s handed to %(to)s.")
        messages.success(request, message % _words(done, studio))
        return redirect("issue")
    nothing_there = not Lot.objects.visible_to(by).to_issue().exists()
    context = {"form": form, "nothing_there": nothing_there}
    return render(request, "clay/issue.html", context)


@only(*STAFF)
def clay_return(request: HttpRequest) -> HttpResponse:
    """The bucket of a class, or what is left of one pot's clay."""
    by = person_of(request)
    studio = studio_of(by)
    which = request.POST.get("which", "")
    initial = {"section": request.GET.get("section", "")}
    bucket = BucketForm(
        request.POST if which == "bucket" else None, initial=initial, by=by, units=studio
    )
    pot = PotReturnForm(request.POST if which == "pot" else None, by=by, units=studio)
    done = posted(request, bucket, lambda: _bucket(bucket, by)) or posted(
        request, pot, lambda: _from_pot(pot, by)
    )
    if done:
        message = _("%(mass)s came back from %(to)s.")
        messages.success(request, message % _words(done, studio))
        return redirect("clay_return")
    return render(request, "clay/clay_return.html", {"bucket": bucket, "pot": pot})


def _bucket(form: BucketForm, by: User) -> dict[str, Any]:
    section = form.cleaned_data["section"]
    entry = services.return_bucket(
        section=section,
        body=form.cleaned_data["body"],
        grams=form.cleaned_data["grams"],
        mixed=form.cleaned_data["mixed"],
        by=by,
        at=timezone.now(),
    )
    return {"to": section.title, "grams": entry.grams}


def _from_pot(form: PotReturnForm, by: User) -> dict[str, Any]:
    pot = form.cleaned_data["code"]
    lot = lot_of(pot) if form.cleaned_data["fit"] == "fit" else None
    if lot is None and form.cleaned_data["fit"] == "fit":
        message = _("%(code)s has got no clay yet, so none can come back from it.")
        raise Refused(message % {"code": pot.code}, field="code")
    grams = form.cleaned_data["grams"]
    entry = services.return_clay(pot=pot, lot=lot, grams=grams, by=by, at=timezone.now())
    return {"to": pot.code, "grams": entry.grams}


@only(*STAFF)
def write_off(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Clay that can't be used any more."""
    by = person_of(request)
    lot = _lot(by, pk)
    form = WriteOffForm(request.POST or None, initial={"grams": lot.bag_g}, units=lot.studio)

    def act() -> dict[str, Any]:
        entry = services.write_off(lot=lot, by=by, at=timezone.now(), **form.cleaned_data)
        return {"grams": -entry.grams}

    if done := posted(request, form, act):
        message = _("%(mass)s written off.")
        messages.success(request, message % {"mass": mass_text(done["grams"], lot.studio)})
        return redirect("lot", pk)
    return render(request, "clay/write_off.html", {"form": form, "lot": lot})


@only(*STAFF)
def correct(request: HttpRequest, pk: UUID) -> HttpResponse:
    """An entry is taken back by its reverse, with the reason."""
    by = person_of(request)
    seen = Entry.objects.correctable_by(by).select_related(
        "lot__body", "lot__studio", "pot__piece", "section", "by", "reverses", "reversed_by"
    )
    entry = get_object_or_404(seen, pk=pk)
    form = CorrectForm(request.POST or None)

    def act() -> dict[str, Any]:
        made = services.correct(
            entry=entry, reason=form.cleaned_data["reason"], by=by, at=timezone.now()
        )
        return {"entry": str(made.pk)}

    if posted(request, form, act):
        messages.success(request, _("Taken back. Enter what is right as a new movement."))
        return redirect("lot", entry.lot_id)
    context = {"form": form, "entry": entry, "today": timezone.localdate()}
    return render(request, "clay/correct.html", context)


def _lot(by: User, pk: UUID) -> Lot:
    return get_object_or_404(Lot.objects.visible_to(by).select_related("body", "studio"), pk=pk)


def _words(done: dict[str, Any], studio: Studio) -> dict[str, str]:
    return {"mass": mass_text(done["grams"], studio), "to": done["to"]}
