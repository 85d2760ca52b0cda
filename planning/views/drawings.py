"""A student's photos: sending, describing, ordering, withdrawing, and handing them out."""

from collections.abc import Callable, Sequence
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from planning.forms.drawings import RefinementsForm, ThumbnailForm, ThumbnailsForm
from planning.models import Piece, Refinement, Thumbnail
from planning.services.drawings import (
    add_refinement,
    add_thumbnail,
    bring_back,
    describe_thumbnail,
    move_thumbnail,
    withdraw,
)
from studio.errors import Refused
from studio.people.access import STAFF, only, person_of
from studio.people.models import Role
from studio.uploads.models import StoredImage
from studio.uploads.serve import image_response
from studio.web.refusals import show_refusal

KINDS: dict[str, type[Thumbnail] | type[Refinement]] = {
    "thumbnail": Thumbnail,
    "refinement": Refinement,
}
Drawing = Thumbnail | Refinement


@only(Role.STUDENT)
@require_POST
def thumbnails_add(request: HttpRequest, pk: UUID) -> HttpResponse:
    piece = _own_piece(request, pk)
    form = ThumbnailsForm(request.POST, request.FILES, piece=piece)
    if not form.is_valid():
        return _not_sent(request, piece, _first_error(form))

    def add(file: UploadedFile[bytes]) -> Drawing:
        return add_thumbnail(
            piece=piece,
            by=person_of(request),
            file=file,
            at=timezone.now(),
            source_form=form.cleaned_data["source_form"],
        )

    return _sent(request, piece, form.cleaned_data["photos"], add)


@only(Role.STUDENT)
@require_POST
def refinements_add(request: HttpRequest, pk: UUID) -> HttpResponse:
    piece = _own_piece(request, pk)
    form = RefinementsForm(request.POST, request.FILES)
    if not form.is_valid():
        return _not_sent(request, piece, _first_error(form))

    def add(file: UploadedFile[bytes]) -> Drawing:
        return add_refinement(piece=piece, by=person_of(request), file=file, at=timezone.now())

    return _sent(request, piece, form.cleaned_data["photos"], add)


@only(Role.STUDENT)
def thumbnail(request: HttpRequest, pk: UUID) -> HttpResponse:
    """One drawing: look at it, say what it grew from, move or withdraw it."""
    drawing = get_object_or_404(_own(request, Thumbnail), pk=pk)
    initial = {"source_form": drawing.source_form_id, "note": drawing.note}
    form = ThumbnailForm(request.POST or None, initial=initial, drawing=drawing)
    if request.method == "POST" and form.is_valid():
        try:
            describe_thumbnail(thumbnail=drawing, by=person_of(request), **form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("piece", drawing.piece_id)
    return render(request, "planning/thumbnail.html", {"drawing": drawing, "form": form})


@only(Role.STUDENT)
@require_POST
def thumbnail_move(request: HttpRequest, pk: UUID) -> HttpResponse:
    drawing = get_object_or_404(_own(request, Thumbnail), pk=pk)
    move_thumbnail(thumbnail=drawing, earlier=request.POST.get("to") == "earlier")
    return redirect("thumbnail", pk)


@only(Role.STUDENT)
@require_POST
def drawing_withdraw(request: HttpRequest, kind: str, pk: UUID) -> HttpResponse:
    drawing = _drawing(request, kind, pk)
    withdraw(drawing=drawing, by=person_of(request), at=timezone.now())
    if drawing.image.state == StoredImage.State.REFUSED:
        messages.success(request, _("Cleared away."))
    else:
        messages.success(request, _("Withdrawn. It is kept below, in case you want it back."))
    return redirect("piece", drawing.piece_id)


@only(Role.STUDENT)
@require_POST
def drawing_bring_back(request: HttpRequest, kind: str, pk: UUID) -> HttpResponse:
    drawing = _drawing(request, kind, pk)
    bring_back(drawing=drawing, by=person_of(request))
    return redirect("piece", drawing.piece_id)


@only(Role.STUDENT)
@require_safe
def drawing_card(request: HttpRequest, kind: str, pk: UUID) -> HttpResponse:
    """One drawing as it stands now, for a page that waits for it to be read."""
    drawing = _drawing(request, kind, pk)
    return render(request, "planning/_drawing.html", _card_of(drawing, kind))


@only(*STAFF, Role.STUDENT)
@require_safe
def drawing_image(request: HttpRequest, kind: str, pk: UUID, size: str) -> HttpResponseBase:
    drawing = _drawing(request, kind, pk)
    return image_response(request, drawing.image, size)


def _own_piece(request: HttpRequest, pk: UUID) -> Piece:
    mine = Piece.objects.drawn_by(person_of(request)).select_related("studio")
    return get_object_or_404(mine, pk=pk)


def _own(request: HttpRequest, model: type[Any]) -> Any:
    return model.objects.visible_to(person_of(request)).select_related("piece__studio", "image")


def _drawing(request: HttpRequest, kind: str, pk: UUID) -> Drawing:
    if kind not in KINDS:
        raise Http404
    found: Drawing = get_object_or_404(_own(request, KINDS[kind]), pk=pk)
    return found


def _first_error(form: ThumbnailsForm | RefinementsForm) -> str:
    return str(next(iter(form.errors.values()))[0])


def _not_sent(request: HttpRequest, piece: Piece, message: str) -> HttpResponse:
    if request.headers.get("X-Requested-With") == "fetch":
        return JsonResponse({"ok": False, "message": message}, status=422)
    messages.error(request, message)
    return redirect("piece", piece.pk)


def _sent(
    request: HttpRequest,
    piece: Piece,
    files: Sequence[UploadedFile[bytes]],
    add: Callable[[UploadedFile[bytes]], Drawing],
) -> HttpResponse:
    """Each photo by itself: one that is refused leaves the others alone."""
    added: list[Drawing] = []
    refused: list[str] = []
    for file in files:
        try:
            added.append(add(file))
        except Refused as refusal:
            refused.append(f"{file.name}: {refusal}" if len(files) > 1 else str(refusal))
    if request.headers.get("X-Requested-With") == "fetch":
        if refused:
            return JsonResponse({"ok": False, "message": " ".join(refused)}, status=422)
        return JsonResponse({"ok": True, "html": "".join(_card(request, each) for each in added)})
    if added:
        text = ngettext("%(n)d photo received.", "%(n)d photos received.", len(added))
        messages.success(request, text % {"n": len(added)})
    for message in refused:
        messages.error(request, message)
    return redirect("piece", piece.pk)


def _card(request: HttpRequest, drawing: Drawing) -> str:
    kind = "thumbnail" if isinstance(drawing, Thumbnail) else "refinement"
    return render_to_string("planning/_drawing.html", _card_of(drawing, kind), request)


def _card_of(drawing: Drawing, kind: str) -> dict[str, Any]:
    """For the student's own page, where their notes are shown."""
    return {"drawing": drawing, "kind": kind, "show_notes": True}
