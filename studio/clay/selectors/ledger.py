"""What came and went: entries as a page shows them."""

from django.db.models import Q, QuerySet

from studio.clay.models import Entry, Lot
from studio.people.models import Section, User
from studio.room.models import ClayBody

LATELY = 8


def ledger(
    person: User,
    *,
    body: ClayBody | None = None,
    section: Section | None = None,
    code: str = "",
    lot: Lot | None = None,
) -> QuerySet[Entry]:
    """Entries that the person sees, the newest first. `code` is a pot's, with or without `/2`."""
    entries = Entry.objects.visible_to(person)
    if body is not None:
        entries = entries.filter(lot__body=body)
    if lot is not None:
        entries = entries.filter(lot=lot)
    if section is not None:
        entries = entries.about(section)
    if code:
        piece, _slash, number = code.partition("/")
        entries = entries.filter(pot__piece__code__iexact=piece.strip())
        if number.strip().isdecimal():
            entries = entries.filter(pot__number=int(number[:4]))
    return entries.select_related(
        "lot__body", "pot__piece", "section", "by", "reverses", "reversed_by"
    ).order_by("-at", "pk")


def came_and_went(person: User) -> list[Entry]:
    """The newest entries."""
    return list(ledger(person)[:LATELY])


def correctable(person: User, entries: list[Entry]) -> set[object]:
    """Keys of those that this person may still put right. One query."""
    open_ones = Entry.objects.correctable_by(person).filter(
        Q(pk__in=[entry.pk for entry in entries]),
        reverses__isnull=True,
        reversed_by__isnull=True,
    )
    return set(open_ones.values_list("pk", flat=True))
