"""Scanned sheets of a class: sending them, how far they are, and the pages that wait."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse, QueryDict
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from planning.forms.scans import GivePageForm, ScansForm
from planning.models import Assignment, Piece, Scan, ScanPage
from planning.plans.paper_sizes import PAPERS
from planning.selectors.scans import ScanSeen, pieces_to_give, scans_of, scans_seen
from planning.services.scan_pages import give_page, put_page_away
from planning.services.scans import add_scan
from studio.errors import Conflict, Refused
from studio.people.access import TEACHING, only, person_of
from studio.uploads.serve import image_response
from studio.web.refusals import show_refusal

_Given = tuple[UUID, GivePageForm]


@only(*TEACHING)
def scans(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Sends scans; below, what became of those that were sent."""
    assignment = _assignment(request, pk)
    form = ScansForm()
    if request.method == "POST":
        form = ScansForm(request.POST, request.FILES)
        added: list[Scan] = []
        if form.is_valid():
            added = _added(request, assignment, form)
        if request.headers.get("X-Requested-With") == "fetch":
            return _told(request, assignment, form, added)
        if form.is_valid():
            return redirect("scans", assignment.pk)
    return _page(request, assignment, form)


def _added(request: HttpRequest, assignment: Assignment, form: ScansForm) -> list[Scan]:
    """Each file by itself: one that is refused leaves the others alone."""
    files: list[UploadedFile[bytes]] = form.cleaned_data["scans"]
    added = []
    for file in files:
        try:
            added.append(
                add_scan(assignment=assignment, by=person_of(request), file=file, at=timezone.now())
            )
        except Refused as refusal:
            form.add_error("scans", f"{file.name}: {refusal}" if len(files) > 1 else str(refusal))
    return added


def _told(
    request: HttpRequest, assignment: Assignment, form: ScansForm, added: list[Scan]
) -> JsonResponse:
    if form.errors:
        message = " ".join(str(each) for each in form.errors["scans"])
        return JsonResponse({"ok": False, "message": message}, status=422)
    pieces = pieces_to_give(assignment)
    html = [
        render_to_string("planning/_scan.html", _context(assignment, each, pieces), request)
        for each in scans_seen(added)
    ]
    return JsonResponse({"ok": True, "html": "".join(html)})


def _page(
    request: HttpRequest, assignment: Assignment, form: ScansForm, given: _Given | None = None
) -> HttpResponse:
    """With the form of a page that could not be given as it was sent."""
    pieces = pieces_to_give(assignment)
    context = {
        "assignment": assignment,
        "form": form,
        "papers": PAPERS,
        "pieces": pieces,
        "scans": [_context(assignment, each, pieces, given) for each in scans_of(assignment)],
    }
    status = 422 if given or form.errors else 200
    return render(request, "planning/scans.html", context, status=status)


def _context(
    assignment: Assignment, seen: ScanSeen, pieces: list[Piece], given: _Given | None = None
) -> dict[str, Any]:
    """With a form for each page that waits and has a picture."""
    forms = dict([given]) if given else {}
    return {
        "assignment": assignment,
        "seen": seen,
        "today": timezone.localdate(),
        "waiting": [
            (page, why, forms.get(page.pk) or _give_form(page, pieces) if page.image else None)
            for page, why in seen.waiting
        ],
    }


def _give_form(page: ScanPage, pieces: list[Piece], sent: QueryDict | None = None) -> GivePageForm:
    initial = {"piece": str(page.piece_id or ""), "top": "top"}
    return GivePageForm(sent, pieces=pieces, initial=initial, auto_id=f"page-{page.pk.hex}-%s")


@only(*TEACHING)
@require_safe
def scan(request: HttpRequest, pk: UUID) -> HttpResponse:
    """One scan as it stands now; the page asks for it while it is being read."""
    rows = Scan.objects.taught_by(person_of(request))
    found = get_object_or_404(rows.select_related("assignment"), pk=pk)
    (seen,) = scans_seen([found])
    context = _context(found.assignment, seen, pieces_to_give(found.assignment))
    return render(request, "planning/_scan.html", context)


@only(*TEACHING)
@require_POST
def scan_page_give(request: HttpRequest, pk: UUID) -> HttpResponse:
    """It becomes a sheet of the student who is named."""
    page = _scan_page(request, pk)
    assignment = page.scan.assignment
    form = _give_form(page, pieces_to_give(assignment), request.POST)
    if form.is_valid():
        try:
            _give(request, page, form)
        except Conflict as refusal:
            messages.error(request, str(refusal))
        except Refused as refusal:
            show_refusal(form, refusal)
    if form.errors:
        return _page(request, assignment, ScansForm(), given=(page.pk, form))
    return redirect("scans", assignment.pk)


def _give(request: HttpRequest, page: ScanPage, form: GivePageForm) -> None:
    piece, top = form.chosen(), form.cleaned_data["top"]
    give_page(page=page, piece=piece, by=person_of(request), at=timezone.now(), top=top)
    said = _("%(name)s has page %(page)d now.")
    messages.success(request, said % {"page": page.number, "name": piece.student.short_name})


@only(*TEACHING)
@require_POST
def scan_page_put_away(request: HttpRequest, pk: UUID) -> HttpResponse:
    page = _scan_page(request, pk)
    try:
        put_page_away(page=page, by=person_of(request))
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("scans", page.scan.assignment_id)


@only(*TEACHING)
@require_safe
def scan_page_image(request: HttpRequest, pk: UUID, size: str) -> HttpResponseBase:
    page = _scan_page(request, pk)
    if page.image is None:
        raise Http404
    return image_response(request, page.image, size)


def _assignment(request: HttpRequest, pk: UUID) -> Assignment:
    seen = Assignment.objects.taught_by(person_of(request))
    return get_object_or_404(seen.select_related("section__studio"), pk=pk)


def _scan_page(request: HttpRequest, pk: UUID) -> ScanPage:
    rows = ScanPage.objects.taught_by(person_of(request))
    related = rows.select_related("image", "scan__assignment__section__studio")
    return get_object_or_404(related, pk=pk)
