"""What is there, and what came and went."""

from datetime import timedelta
from uuid import UUID

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from studio.clay.forms.ledger import LedgerForm
from studio.clay.models import Entry, Lot, LotKind
from studio.clay.selectors.ledger import came_and_went, correctable
from studio.clay.selectors.ledger import ledger as entries_of
from studio.clay.selectors.needs import class_needs
from studio.clay.selectors.reclaim import loss_of
from studio.clay.selectors.stock import clay_on_hand
from studio.clay.selectors.talks import talk_comes_first
from studio.people.access import STAFF, only, person_of, studio_of

PER_PAGE = 50
# A class that finishes late still gets its clay.
STILL_SHOWN = timedelta(days=21)


@only(*STAFF)
@require_safe
def clay_room(request: HttpRequest) -> HttpResponse:
    """What is there in big figures, whom it is for, what came and went lately."""
    person = person_of(request)
    today = timezone.localdate()
    context = {
        "stocks": clay_on_hand(studio_of(person)),
        "needs": class_needs(person, since=today - STILL_SHOWN),
        "entries": came_and_went(person),
        "talk_first": talk_comes_first(person.studio_id),
        "today": today,
    }
    return render(request, "clay/clay_room.html", context)


@only(*STAFF)
@require_safe
def lot(request: HttpRequest, pk: UUID) -> HttpResponse:
    """One lot with all that moved in and out of it."""
    person = person_of(request)
    found = get_object_or_404(Lot.objects.visible_to(person).select_related("body"), pk=pk)
    page = _page(request, entries_of(person, lot=found))
    context = {
        "lot": found,
        "returned": found.kind == LotKind.RETURNED,
        "made": loss_of(found) if found.kind == LotKind.RECLAIMED else None,
        "page": page,
        "correctable": correctable(person, list(page)),
        "today": timezone.localdate(),
    }
    return render(request, "clay/lot.html", context)


@only(*STAFF)
@require_safe
def ledger(request: HttpRequest) -> HttpResponse:
    """Every movement, the newest first; by body, class or pot."""
    person = person_of(request)
    form = LedgerForm(request.GET or None, by=person)
    page = _page(request, entries_of(person, **form.chosen()))
    context = {
        "form": form,
        "page": page,
        "correctable": correctable(person, list(page)),
        "today": timezone.localdate(),
        "filters": form.query(),
    }
    return render(request, "clay/ledger.html", context)


def _page(request: HttpRequest, entries: QuerySet[Entry]) -> Page[Entry]:
    return Paginator(entries, PER_PAGE).get_page(request.GET.get("page"))
