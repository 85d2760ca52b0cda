"""Who stands at the scale, and what went over it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from uuid import UUID

from django.db.models import Q, QuerySet
from django.utils import timezone

from planning.codes import as_scratched
from planning.models import Piece
from studio.clay.models import Entry, EntryKind
from studio.people.models import User

_KEY = re.compile(r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")


@dataclass(frozen=True)
class Run:
    """What one person handed out to pots on one day, the newest first."""

    entries: Sequence[Entry]

    @property
    def standing(self) -> list[Entry]:
        """Without what was undone."""
        return [entry for entry in self.entries if not _undone(entry)]

    @property
    def grams(self) -> int:
        return -sum(entry.grams for entry in self.standing)


def piece_at_scales(person: User, typed: str) -> Piece | None:
    """Whose clay it is: by the code on the pot, small letters and no hyphen are fine, or by the
    address that the QR code of a label or a bench card holds. One query.
    """
    if not typed.isprintable():
        return None
    pieces = Piece.objects.visible_to(person).select_related(
        "studio", "student", "assignment__section__studio", "assignment__clay_body"
    )
    if key := _KEY.search(typed.lower()):
        asked = UUID(key.group())
        found = pieces.filter(Q(pk=asked) | Q(pots=asked))
    else:
        found = pieces.filter(code=as_scratched(typed.partition("/")[0]))
    # A code of a class that is over may have been drawn again.
    return found.order_by("-code_live", "-created_at", "pk").first()


def run_of(person: User, on: date) -> Run:
    """What the person handed out on this local day. One query."""
    begins = timezone.make_aware(datetime.combine(on, time()))
    entries = handed_out(person).filter(at__gte=begins, at__lt=begins + timedelta(days=1))
    return Run(list(entries))


def handed_out(person: User) -> QuerySet[Entry]:
    """To pots, by this person, the newest first."""
    return (
        Entry.objects.visible_to(person)
        .filter(by=person, kind=EntryKind.ISSUE, pot__isnull=False)
        .select_related("lot__body", "lot__studio", "pot__piece__student", "reversed_by")
        .order_by("-at", "pk")
    )


def _undone(entry: Entry) -> bool:
    return getattr(entry, "reversed_by", None) is not None
