"""At the kiln: the log, the shut-off, unloading. Nothing here switches a kiln."""

from datetime import datetime, time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from studio.errors import Conflict, Refused
from studio.kilns.forms.loads import (
    LogForm,
    MeterForm,
    ShutOffForm,
    UnloadForm,
    WitnessForm,
    field_of,
)
from studio.kilns.hours import moment
from studio.kilns.models import Slot
from studio.kilns.selectors.learned import corrections
from studio.kilns.selectors.loads import contents
from studio.kilns.selectors.program_print import program_says
from studio.kilns.selectors.program_view import view_of
from studio.kilns.services.firing import (
    AHEAD,
    log_entry,
    note_meter,
    shut_off,
    undo_shut_off,
    unload,
)
from studio.kilns.services.witness import read_witness, take_out_witness
from studio.people.access import STAFF, only, person_of
from studio.people.idempotency import once_for_form
from studio.web.refusals import show_refusal

from .loads import slot_of, uuid_of


@only(*STAFF)
def firing_log(request: HttpRequest, pk: UUID) -> HttpResponse:
    slot = slot_of(request, pk)
    form = LogForm(request.POST or None)
    if form.is_valid():
        try:
            once_for_form(request, lambda: _logged(request, slot, form))
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("It is in the log."))
            return redirect("firing_log", slot.pk)
    return _log_page(request, slot, form, ShutOffForm())


@only(*STAFF)
@require_POST
def firing_off(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Somebody stands at the kiln and sees that it is off."""
    slot, form = slot_of(request, pk), ShutOffForm(request.POST)
    if form.is_valid():
        cone, by = form.cleaned_data["witness_cone"], person_of(request)
        try:
            shut_off(slot=slot, at=timezone.now(), by=by, witness_cone=cone)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("%(name)s has seen that it is off.") % {"name": by.name})
            return redirect("firing_log", slot.pk)
    return _log_page(request, slot, LogForm(), form)


@only(*STAFF)
@require_POST
def firing_off_undo(request: HttpRequest, pk: UUID) -> HttpResponse:
    slot = undo_shut_off(slot=slot_of(request, pk), by=person_of(request), at=timezone.now())
    messages.success(request, _("Taken back. Somebody still has to see that the kiln is off."))
    return redirect("firing_log", slot.pk)


@only(*STAFF)
@require_POST
def firing_witness(request: HttpRequest, pk: UUID) -> HttpResponse:
    """How a witness cone stands, or one that was a mistake is taken out."""
    slot, by = slot_of(request, pk), person_of(request)
    if wrong := request.POST.get("take_out"):
        reading = uuid_of(wrong)
        if reading is None:
            raise Http404
        take_out_witness(slot=slot, reading=reading, by=by)
        messages.success(request, _("It is taken out."))
        return redirect("firing_log", slot.pk)
    form = WitnessForm(request.POST)
    if form.is_valid():
        try:
            read_witness(slot=slot, by=by, at=timezone.now(), **form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("The cone is written down."))
            return redirect("firing_log", slot.pk)
    return _log_page(request, slot, LogForm(), ShutOffForm(), witness_form=form)


@only(*STAFF)
@require_POST
def firing_meter(request: HttpRequest, pk: UUID) -> HttpResponse:
    """What the meter counted."""
    slot, form = slot_of(request, pk), MeterForm(request.POST)
    if form.is_valid():
        try:
            note_meter(slot=slot, kwh=form.cleaned_data["kwh"], by=person_of(request))
        except Conflict:
            raise  # the page has no such form then
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("The meter's reading is kept."))
            return redirect("firing_log", slot.pk)
    return _log_page(request, slot, LogForm(), ShutOffForm(), meter_form=form)


@only(*STAFF)
def firing_unload(request: HttpRequest, pk: UUID) -> HttpResponse:
    slot = slot_of(request, pk)
    load = contents(slot)
    start = {"witness_cone": slot.witness_cone}
    form = UnloadForm(request.POST or None, slot=slot, placements=load.placements, initial=start)
    if form.is_valid():
        try:
            unload(
                slot=slot,
                results=form.results(),
                by=person_of(request),
                at=timezone.now(),
                read_below=form.cleaned_data["read_below"],
                reached=form.cleaned_data.get("reached", False),
                witness_cone=form.cleaned_data["witness_cone"],
            )
        except Refused as refusal:
            for problem in refusal.problems:
                field = field_of(problem.field)
                form.add_error(field if field in form.fields else None, problem.message)
        else:
            messages.success(request, _("It is unloaded. The pots have moved on."))
            return redirect("load", slot.pk)
    context = {
        "slot": slot,
        "form": form,
        "last": slot.log.exclude(temp_c=None).order_by("at", "pk").last(),
        "early": timezone.now() < slot.unload_due_at,
        "ready": slot.off_at is not None and slot.unloaded_at is None,
    }
    return render(request, "kilns/firing_unload.html", context)


def read_at(clock: time | None, now: datetime, zone: ZoneInfo) -> datetime:
    """The last moment at which the studio's clock showed this time; now where none is given."""
    if clock is None:
        return now
    # Yesterday, or the day before where the clocks leapt over it.
    days = (now.astimezone(zone).date() - timedelta(days=ago) for ago in range(3))
    moments = (moment(on, clock, zone) for on in days)
    return next(found for found in moments if found is not None and found <= now + AHEAD)


def _logged(request: HttpRequest, slot: Slot, form: LogForm) -> dict[str, str]:
    said, now = form.cleaned_data, timezone.now()
    entry = log_entry(
        slot=slot,
        by=person_of(request),
        at=now,
        read_at=read_at(said["at"], now, slot.studio.zone),
        temp_c=said["temp_c"],
        note=said["note"],
    )
    return {"entry": str(entry.pk)}


def _log_page(
    request: HttpRequest,
    slot: Slot,
    form: LogForm,
    off_form: ShutOffForm,
    *,
    witness_form: WitnessForm | None = None,
    meter_form: MeterForm | None = None,
) -> HttpResponse:
    read = list(slot.witness_readings.all())
    program = view_of(slot.program, ())
    context = {
        "slot": slot,
        "entries": slot.log.select_related("by").order_by("-at", "-pk"),
        "form": form,
        "off_form": off_form,
        "witness_form": witness_form or WitnessForm(initial={"cone": program.cone}),
        "meter_form": meter_form or MeterForm(initial={"kwh": slot.metered_kwh}),
        "readings": read,
        "correction": corrections([slot.kiln]).get(slot.kiln_id),
        "view": program,
        "on": slot.lit_at is not None and slot.off_at is None,
        "program_says": program_says(slot, timezone.now()),
        "open": slot.lit_at is not None and slot.unloaded_at is None,
        "today": timezone.localdate(),
    }
    return render(request, "kilns/firing_log.html", context)
