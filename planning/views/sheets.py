"""A photo of a whole sheet: sent, its boxes put right, its drawings taken."""

import re
from collections.abc import Sequence
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from planning.forms.sheets import SheetsForm, TakeSheetForm, boxes_form
from planning.models import Piece, Sheet
from planning.photos.halving import with_halves
from planning.services.sheets import MOST_BOXES, add_sheet, put_away, set_boxes, take_sheet
from studio.errors import Conflict, Refused
from studio.people.access import STAFF, only, person_of
from studio.people.models import Role
from studio.uploads.serve import image_response
from studio.web.slots import Full, Slots

LOOKED_AT = Slots(each=1, together=2)
"""Each is a process of its own that opens a photo."""


@only(Role.STUDENT)
@require_POST
def sheets_add(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Each photo by itself: one that is refused leaves the others alone."""
    mine = Piece.objects.drawn_by(person_of(request)).select_related("studio")
    piece = get_object_or_404(mine, pk=pk)
    form = SheetsForm(request.POST, request.FILES)
    if not form.is_valid():
        return _answered(request, piece, [], [str(next(iter(form.errors.values()))[0])])
    files, added, refused = form.cleaned_data["sheet"], [], []
    for file in files:
        try:
            sheet = add_sheet(piece=piece, by=person_of(request), file=file, at=timezone.now())
        except Refused as refusal:
            refused.append(f"{file.name}: {refusal}" if len(files) > 1 else str(refusal))
        else:
            added.append(sheet)
    return _answered(request, piece, added, refused)


def _answered(
    request: HttpRequest, piece: Piece, added: list[Sheet], refused: list[str]
) -> HttpResponse:
    if _by_script(request):
        if refused:
            return JsonResponse({"ok": False, "message": " ".join(refused)}, status=422)
        lines = (
            render_to_string("planning/_sheet_line.html", {"sheet": each}, request)
            for each in added
        )
        return JsonResponse({"ok": True, "html": "".join(lines)})
    for message in refused:
        messages.error(request, message)
    if len(added) == 1 and not refused:
        return redirect("sheet", added[0].pk)
    return redirect("piece", piece.pk)


@only(Role.STUDENT)
@require_safe
def sheet(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The photo with its boxes, and all that changes them."""
    own = _own(request, pk)
    return render(request, "planning/sheet.html", _shown(own))


@only(Role.STUDENT)
@require_POST
def sheet_boxes(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Keep the boxes; a script gets what stands now, whether or not they were kept."""
    own = _own(request, pk)
    form, refused = boxes_form(own, request.POST), ""
    if form.is_valid():
        try:
            boxes = _split(request, own, form.boxes(), form.split())
            set_boxes(sheet=own, boxes=boxes, edition=_edition(request), by=person_of(request))
        except Refused as refusal:
            refused, status = str(refusal), 409 if isinstance(refusal, Conflict) else 422
    else:
        refused, status = _("Each box is four numbers, in pixels of the photo."), 422
    if _by_script(request):
        html = render_to_string("planning/_sheet_boxes.html", _shown(_own(request, pk)), request)
        said = {"ok": not refused, "message": refused, "html": html}
        return JsonResponse(said, status=status if refused else 200)
    if not form.is_valid():
        context = _shown(own) | {"boxes_form": form, "refused": refused}
        return render(request, "planning/sheet.html", context, status=422)
    if refused:
        messages.error(request, refused)
    return redirect("sheet", pk)


def _split(
    request: HttpRequest, sheet: Sheet, boxes: list[list[float]], places: list[int]
) -> Sequence[Sequence[float]]:
    """Those at these places as two, where their drawings part; in their middle while too many
    photos are being looked at."""
    if not places or not sheet.image.is_ready:
        return boxes
    try:
        with LOOKED_AT.taken_by(person_of(request).pk):
            return with_halves(sheet.image, boxes, places, look=True)
    except Full:
        return with_halves(sheet.image, boxes, places, look=False)


@only(Role.STUDENT)
@require_POST
def sheet_take(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Every box becomes a thumbnail of the piece."""
    own = _own(request, pk)
    form = TakeSheetForm(request.POST, piece=own.piece)
    if not form.is_valid():
        return render(request, "planning/sheet.html", _shown(own, form), status=422)
    try:
        made = take_sheet(
            sheet=own,
            by=person_of(request),
            edition=_edition(request),
            source_form=form.cleaned_data["source_form"],
            at=timezone.now(),
        )
    except Refused as refusal:  # the page as it stands now says the rest
        messages.error(request, str(refusal))
        return redirect("sheet", pk)
    text = ngettext(
        "%(n)d drawing is among your thumbnails.",
        "%(n)d drawings are among your thumbnails.",
        len(made),
    )
    messages.success(request, text % {"n": len(made)})
    return redirect("piece", own.piece_id)


@only(Role.STUDENT)
@require_POST
def sheet_put_away(request: HttpRequest, pk: UUID) -> HttpResponse:
    own = _own(request, pk)
    put_away(sheet=own, by=person_of(request))
    messages.success(request, _("The sheet is put away."))
    return redirect("piece", own.piece_id)


@only(*STAFF, Role.STUDENT)
@require_safe
def sheet_image(request: HttpRequest, pk: UUID, size: str) -> HttpResponseBase:
    rows = Sheet.objects.visible_to(person_of(request)).select_related("image")
    found = get_object_or_404(rows, pk=pk)
    return image_response(request, found.image, size)


def _own(request: HttpRequest, pk: UUID) -> Sheet:
    mine = Sheet.objects.drawn_by(person_of(request))
    return get_object_or_404(mine.select_related("image", "piece__studio"), pk=pk)


def _by_script(request: HttpRequest) -> bool:
    return request.headers.get("X-Requested-With") == "fetch"


def _edition(request: HttpRequest) -> int:
    """That of the boxes which the window showed; one that there never was where none is said."""
    said = request.POST.get("edition", "")
    return int(said) if re.fullmatch("[0-9]{1,9}", said) else -1


def _shown(sheet: Sheet, take_form: TakeSheetForm | None = None) -> dict[str, Any]:
    context: dict[str, Any] = {"sheet": sheet, "piece": sheet.piece, "state": sheet.state}
    if sheet.state in ("proposed", "taken"):
        # Numbers that can be read on a phone before a script makes them as large as the text.
        context["letter_px"] = round(max(sheet.image.width or 0, sheet.image.height or 0) / 24)
    if sheet.state == "proposed":
        if len(sheet.boxes or []) >= MOST_BOXES:
            context["most_boxes"] = MOST_BOXES
        context["take_form"] = take_form or TakeSheetForm(piece=sheet.piece)
        context["boxes_form"] = boxes_form(sheet)
    return context
