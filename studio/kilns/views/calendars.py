"""The kiln calendar for programs that show calendars: its secret addresses, and the file itself."""

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from studio.kilns.calendar_file import calendar_file
from studio.kilns.models import CalendarAddress, Slot
from studio.kilns.selectors.calendars import (
    calendar_at,
    calendar_events,
    calendar_name,
    calendars_of,
)
from studio.kilns.services.calendars import end_calendar_address, make_calendar_address
from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.models import Section, User

from .loads import uuid_of

PRIVATE = {
    "Cache-Control": "no-store, private",
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex",
}
"""The address is the key: nobody keeps a copy, passes it on or lists it."""


@only(*STAFF)
@never_cache
def kiln_calendars(request: HttpRequest) -> HttpResponse:
    """Which calendars have an address. A new one is shown once, when it is made."""
    by, made, told = person_of(request), None, ""
    if request.method == "POST":
        made, secret = make_calendar_address(
            studio=studio_of(by),
            section=_section(by, request.POST.get("section", "")),
            by=by,
            at=timezone.now(),
        )
        told = request.build_absolute_uri(reverse("kiln_calendar", args=[secret]))
    context = {
        "calendars": calendars_of(by),
        "made": made,
        "address": told,
        "today": timezone.localdate(),
    }
    return render(request, "kilns/kiln_calendars.html", context)


@only(*STAFF)
@require_POST
def kiln_calendar_end(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    seen = CalendarAddress.objects.visible_to(by).select_related("studio", "section")
    end_calendar_address(address=get_object_or_404(seen, pk=pk), by=by)
    messages.success(request, _("Ended. Nothing is found at that address any more."))
    return redirect("kiln_calendars")


@require_safe
def kiln_calendar(request: HttpRequest, secret: str) -> HttpResponse:
    """The file, for whoever has the address."""
    calendar = calendar_at(secret)
    if calendar is None:
        raise Http404

    def address(slot: Slot) -> str:
        return request.build_absolute_uri(slot.get_absolute_url())

    events = calendar_events(calendar, timezone.now(), address)
    return HttpResponse(
        calendar_file(calendar_name(calendar), events),
        content_type="text/calendar; charset=utf-8",
        headers=PRIVATE | {"Content-Disposition": 'inline; filename="kilns.ics"'},
    )


def _section(by: User, asked: str) -> Section | None:
    """The class that is named; the whole studio where none is."""
    if not asked:
        return None
    return get_object_or_404(Section.objects.taught_by(by), pk=uuid_of(asked))
