"""From paper to plan: photos of full-size drawings, what was traced in them, correcting it."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from planning.forms.plan_photos import ByHandForm, LinesForm, PlanPhotoForm, ScaleForm, TapsForm
from planning.models import Choice, Piece, PlanPhoto
from planning.photos.seen import Seen, seen, state_of
from planning.plans.inputs import drawn_from_json, usual_spacing_mm
from planning.selectors.plans import newest_version
from planning.services.plan_lines import begin_by_hand, correct_lines, take_into_plan
from planning.services.plan_photos import add_plan_photo, remove_plan_photo, rescale, tap
from studio.errors import Conflict, Refused
from studio.people.access import STAFF, TEACHING, only, person_of, studio_of
from studio.people.models import Role
from studio.uploads.serve import image_response
from studio.web.refusals import show_refusal


@only(Role.STUDENT)
def plan_photos(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Send a photo of the full-size drawing; those that were sent."""
    mine = Piece.objects.drawn_by(person_of(request)).select_related("studio")
    piece = get_object_or_404(mine, pk=pk)
    if not Choice.objects.current().filter(piece=piece).exists():
        messages.error(request, _("Choose a design first; the plan is of the chosen one."))
        return redirect("piece", piece.pk)
    form = PlanPhotoForm(
        request.POST or None,
        request.FILES or None,
        units=studio_of(person_of(request)),
        initial={"spacing": _usual_spacing(piece), "lower": 0},
    )
    if request.method == "POST" and form.is_valid():
        try:
            photo = add_plan_photo(
                piece=piece,
                by=person_of(request),
                file=form.cleaned_data["photo"],
                shows=form.cleaned_data["shows"],
                scaled=form.scaled(),
                at=timezone.now(),
            )
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("plan_photo", photo.pk)
    photos = PlanPhoto.objects.filter(piece=piece).select_related("image")
    return render(
        request,
        "planning/plan_photos.html",
        {
            "piece": piece,
            "form": form,
            "photos": [(each, state_of(each)) for each in photos],
            "measures": [form[name] for name in form.MEASURES],
        },
    )


@only(*TEACHING, Role.STUDENT)
@require_safe
def plan_photo(request: HttpRequest, pk: UUID) -> HttpResponse:
    """What was traced in a photo, laid over it; for its student with all that changes it."""
    rows = PlanPhoto.objects.visible_to(person_of(request))
    photo = get_object_or_404(rows.select_related("image", "piece__studio"), pk=pk)
    return _page(request, photo)


@only(Role.STUDENT)
@require_POST
def plan_photo_correct(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Keep corrected half-widths, and take them into the plan if asked."""
    photo = _own(request, pk)
    form = _lines_form(request, photo)
    if not form.is_valid():
        return _page(request, photo, lines_form=form)
    asked = form.cleaned_data["asked"]
    try:
        if not photo.is_base:
            photo = correct_lines(photo=photo, halves=form.halves(), asked=asked)
        if "take" in request.POST:
            take_into_plan(photo=photo, at=timezone.now(), asked=asked)
            messages.success(request, _("Taken into your plan. Look at it, then send it."))
            return redirect("plan", photo.piece_id)
    except Conflict as conflict:  # the page as it stands now, not what was typed over another
        messages.error(request, str(conflict))
    except Refused as refusal:
        show_refusal(form, refusal)
        return _page(request, photo, lines_form=form)
    else:
        messages.success(request, _("Saved."))
    return redirect("plan_photo", photo.pk)


@only(Role.STUDENT)
@require_POST
def plan_photo_live(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The outline through what is in the form now; nothing is kept."""
    photo = _own(request, pk)
    form = _lines_form(request, photo)
    if form.is_valid():
        photo.lines = form.lines()
    return render(request, "planning/_plan_photo_live.html", {"seen": seen(photo)})


@only(Role.STUDENT)
@require_POST
def plan_photo_scale(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Another scale or another spacing: it is traced anew."""
    photo = _own(request, pk)
    form = ScaleForm(request.POST, units=studio_of(person_of(request)))
    if form.is_valid():
        try:
            rescale(photo=photo, by=person_of(request), scaled=form.scaled(), at=timezone.now())
            return redirect("plan_photo", photo.pk)
        except Refused as refusal:
            show_refusal(form, refusal)
    return _page(request, photo, scale_form=form)


@only(Role.STUDENT)
@require_POST
def plan_photo_tap(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Where the points are whose places are known; then it is traced."""
    photo = _own(request, pk)
    if photo.scale == PlanPhoto.Scale.CARD or not photo.image.is_ready:
        return redirect("plan_photo", photo.pk)
    form = TapsForm(request.POST, photo=photo)
    if not form.is_valid():
        return _page(request, photo, taps_form=form)
    tap(photo=photo, by=person_of(request), points=form.taps(), at=timezone.now())
    return redirect("plan_photo", photo.pk)


@only(Role.STUDENT)
@require_POST
def plan_photo_by_hand(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Height lines to place over a photo that could not be traced."""
    photo = _own(request, pk)
    form = ByHandForm(request.POST, units=studio_of(person_of(request)))
    if not form.is_valid():
        return _page(request, photo, hand_form=form)
    cleaned = form.cleaned_data
    begin_by_hand(
        photo=photo,
        height_mm=cleaned["height"],
        every_mm=cleaned["every"],
        sides=cleaned["sides"],
    )
    return redirect("plan_photo", photo.pk)


@only(Role.STUDENT)
@require_POST
def plan_photo_remove(request: HttpRequest, pk: UUID) -> HttpResponse:
    photo = _own(request, pk)
    remove_plan_photo(photo=photo)
    messages.success(request, _("The photo is removed."))
    return redirect("plan_photos", photo.piece_id)


@only(*STAFF, Role.STUDENT)
@require_safe
def plan_photo_image(request: HttpRequest, pk: UUID, size: str) -> HttpResponseBase:
    rows = PlanPhoto.objects.visible_to(person_of(request)).select_related("image")
    photo = get_object_or_404(rows, pk=pk)
    return image_response(request, photo.image, size)


def _page(request: HttpRequest, photo: PlanPhoto, **forms: Any) -> HttpResponse:
    """One photo; forms that were refused stand in the place of fresh ones."""
    context: dict[str, Any] = {"photo": photo, "piece": photo.piece, "seen": seen(photo)}
    if person_of(request).is_student:
        context |= _fresh_forms(request, context["seen"]) | forms
    return render(request, "planning/plan_photo.html", context)


def _fresh_forms(request: HttpRequest, shown: Seen) -> dict[str, Any]:
    photo, units = shown.photo, studio_of(person_of(request))
    every = photo.spacing_mm or _usual_spacing(photo.piece)
    measures = {name: getattr(photo, f"{name}_mm") for name in ScaleForm.MEASURES}
    # A card that didn't do is no second try.
    no_card = shown.state == "untraced" and photo.scale == PlanPhoto.Scale.CARD
    scale = PlanPhoto.Scale.FOUR if no_card and not photo.is_base else photo.scale
    forms: dict[str, Any] = {
        "lines_form": LinesForm(photo=photo, units=units),
        "scale_form": ScaleForm(
            units=units,
            initial={"scale": scale, "spacing": photo.spacing_mm, **measures},
        ),
        "hand_form": ByHandForm(units=units, initial={"every": every, "height": photo.upper_mm}),
    }
    if shown.state == "tap":
        forms["taps_form"] = TapsForm(photo=photo)
    return forms


def _own(request: HttpRequest, pk: UUID) -> PlanPhoto:
    mine = PlanPhoto.objects.drawn_by(person_of(request))
    return get_object_or_404(mine.select_related("image", "piece__studio"), pk=pk)


def _lines_form(request: HttpRequest, photo: PlanPhoto) -> LinesForm:
    return LinesForm(request.POST, photo=photo, units=studio_of(person_of(request)))


def _usual_spacing(piece: Piece) -> float:
    """That of the plan's first two height lines, the studio's usual one where there is none."""
    newest = newest_version(piece)
    lines = drawn_from_json(newest.inputs).lines if newest else ()
    if len(lines) > 2:  # noqa: PLR2004 -- two that are not the rim
        return lines[1].height_mm - lines[0].height_mm
    return usual_spacing_mm(piece.studio)
