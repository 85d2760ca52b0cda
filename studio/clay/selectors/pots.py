"""What each pot got: sums over the ledger, in grams."""

from collections.abc import Collection
from dataclasses import dataclass
from uuid import UUID

from django.db.models import Q, QuerySet, Sum

from studio.clay.models import Entry, EntryKind, Lot
from studio.ware.models import Pot, Stage

# A pot takes clay while it is built, and still at leather-hard for a handle or a foot.
TAKES_CLAY = (Stage.WET, Stage.LEATHER_HARD)

# A correction counts against what it reverses.
OUT = Q(kind=EntryKind.ISSUE) | Q(reverses__kind=EntryKind.ISSUE)


@dataclass(frozen=True)
class PotClay:
    """The clay of one pot: handed out, brought back, and what its plan asked for."""

    issued_g: int
    returned_g: int
    planned_g: float | None

    @property
    def kept_g(self) -> int:
        return self.issued_g - self.returned_g


def clay_of(pots: Collection[Pot]) -> dict[UUID, PotClay]:
    """The clay of each of these pots, by its key; one query. A pot without any isn't in it."""
    rows = (
        Entry.objects.filter(pot__in=pots)
        .order_by()
        .values("pot", "pot__plan__issue_g")
        .annotate(out_g=Sum("grams", filter=OUT), all_g=Sum("grams"))
    )
    found = {}
    for row in rows:
        issued_g, kept_g = -(row["out_g"] or 0), -row["all_g"]
        if issued_g or kept_g:
            found[row["pot"]] = PotClay(issued_g, issued_g - kept_g, row["pot__plan__issue_g"])
    return found


def issued_to(pots: Collection[UUID]) -> dict[UUID, int]:
    """What each pot has out: handed out less brought back. One query."""
    return _sums(Entry.objects.filter(pot__in=pots))


def issued_from(lot: Lot) -> dict[UUID, int]:
    """What each pot has out of this lot."""
    return _sums(Entry.objects.filter(lot=lot, pot__isnull=False))


def lot_of(pot: Pot) -> Lot | None:
    """Where fit clay of this pot goes back to: the lot that it last got clay from."""
    out = Entry.objects.filter(pot=pot, kind=EntryKind.ISSUE, reversed_by__isnull=True)
    newest = out.select_related("lot__body", "lot__studio").order_by("-at", "pk").first()
    return newest.lot if newest else None


def _sums(entries: QuerySet[Entry]) -> dict[UUID, int]:
    rows = entries.order_by().values_list("pot").annotate(all_g=Sum("grams"))
    return {pot: -all_g for pot, all_g in rows}
