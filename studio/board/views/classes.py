"""Classes as shelves of pots, and the view that a class may see."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from planning.models import Assignment
from studio.board.selectors.shelves import pieces_of, shelved
from studio.board.selectors.today import class_rows
from studio.people.access import STAFF, only, person_of
from studio.people.models import Section


@only(*STAFF)
@require_safe
def classes(request: HttpRequest) -> HttpResponse:
    """The classes that the person sees, each with what it is working on."""
    person = person_of(request)
    sections = Section.objects.visible_to(person).current()
    rows = class_rows(sections, today=timezone.localdate())
    context = {"rows": rows, "teaching": person.teaches, "today": timezone.localdate()}
    return render(request, "board/classes.html", context)


@only(*STAFF)
@require_safe
def section(request: HttpRequest, pk: UUID) -> HttpResponse:
    """A class's pieces, drawn to one scale, with what is late and what waits."""
    person = person_of(request)
    context = _shelves(request, pk, teaching=person.teaches)
    context["teaching"] = person.teaches
    return render(request, "board/class.html", context)


@only(*STAFF)
@require_safe
def class_shown(request: HttpRequest, pk: UUID) -> HttpResponse:
    """For the wall: no flags; names only where asked for."""
    context = _shelves(request, pk, teaching=False)
    context["nameless"] = request.GET.get("names") != "shown"
    return render(request, "board/class_shown.html", context)


def _shelves(request: HttpRequest, pk: UUID, *, teaching: bool) -> dict[str, object]:
    person = person_of(request)
    found = get_object_or_404(Section.objects.visible_to(person), pk=pk)
    assignments = list(Assignment.objects.filter(section=found).order_by("-given_on"))
    wanted = request.GET.get("of", "")
    current = next((each for each in assignments if str(each.pk) == wanted), None)
    current = current or (assignments[0] if assignments else None)
    today = timezone.localdate()
    pieces = pieces_of(current) if current else []
    stands = shelved(pieces, today=today, teaching=teaching)
    wares = stands.wares
    return {
        "section": found,
        "assignments": assignments,
        "assignment": current,
        "wares": wares,
        "collected": stands.collected,
        "by_lesson": stands.by_lesson,
        "late": [ware for ware in wares if ware.flag],
        "asking": [ware for ware in wares if ware.question],
        "today": today,
    }
