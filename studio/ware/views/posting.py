"""What the pages of ware share: one pot that is seen, and a form that is done once."""

from collections.abc import Callable
from contextlib import suppress
from functools import partial
from uuid import UUID

from django import forms
from django.db import transaction
from django.db.models import QuerySet
from django.http import HttpRequest
from django.shortcuts import get_object_or_404

from studio.people.access import person_of
from studio.people.idempotency import once_or_shown
from studio.people.models import User
from studio.ware.models import Pot
from studio.web.refusals import show_refusal


def seen_pot(request: HttpRequest, pk: UUID) -> Pot:
    """A pot that the person sees, with everything that its page shows of it."""
    rows = Pot.objects.visible_to(person_of(request)).select_related(
        "studio", "place", "plan", "piece__student", "piece__assignment__section"
    )
    return get_object_or_404(rows, pk=pk)


def pots_to_pick(person: User) -> QuerySet[Pot]:
    """What the person may say something about: standing pots that aren't collected."""
    return (
        Pot.objects.visible_to(person)
        .alive()
        .select_related("piece__student", "piece__assignment__section", "place", "plan")
    )


def done_once(request: HttpRequest, form: forms.Form, act: Callable[[], object]) -> bool:
    """Run `act` once for the form's hidden key; a refusal is shown at its field and gives False."""

    def written() -> dict[str, bool]:
        # All of it or nothing also for a form without the key.
        with transaction.atomic():
            act()
        return {"done": True}

    return once_or_shown(request, written, partial(show_refusal, form)) is not None


def tapped(request: HttpRequest) -> set[UUID]:
    """The pots that were tapped before a form came back, and those that a link names."""
    found = set()
    for text in [*request.POST.getlist("pots"), *request.GET.getlist("pot")]:
        with suppress(ValueError):
            found.add(UUID(text))
    return found
