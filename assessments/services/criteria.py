"""The rubric's criteria that a studio begins with."""

from collections.abc import Sequence

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from assessments.models import Criterion
from studio.people.models import Studio
from studio.people.services.checking import locked_studio

from .shipped_rubric import CRITERIA

SHIPPED = tuple(each.title for each in CRITERIA)


def ensure_criteria(*, studio: Studio) -> None:
    """The shipped criteria, for a studio that has none."""
    if Criterion.objects.filter(studio=studio).exists():
        return
    with transaction.atomic():
        locked_studio(studio)
        if not Criterion.objects.filter(studio=studio).exists():
            Criterion.objects.bulk_create(
                Criterion(studio=studio, title=_(title), position=place)
                for place, title in enumerate(SHIPPED, start=1)
            )


def criteria_called(*, studio: Studio, titles: Sequence[str]) -> list[Criterion]:
    """The studio's criteria of these titles, in any case of letters; new ones are made.

    Hold the studio's lock.
    """
    there = {each.title.casefold(): each for each in Criterion.objects.filter(studio=studio)}
    last = Criterion.objects.filter(studio=studio).aggregate(last=Max("position"))["last"] or 0
    found = []
    for title in titles:
        criterion = there.get(title.casefold())
        if criterion is None:
            last += 1
            criterion = Criterion.objects.create(studio=studio, title=title, position=last)
            there[title.casefold()] = criterion
        found.append(criterion)
    return found
