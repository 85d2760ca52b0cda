"""Scrap on its way back to clay: what waits, what dries, what came of it."""

from dataclasses import dataclass
from datetime import datetime
from statistics import median

from django.db.models import QuerySet

from studio.clay.models import Batch, Entry, EntryKind, Lot, LotKind
from studio.people.models import Studio, User

# Of scrap weighed damp about nine tenths come out pugged: some is lost on bats and in the mill, and
# what was slaked dries to about a fifth of water (common practice, no source). It holds until the
# studio has a record of its own.
USUAL_YIELD = 0.9
LEAST_BATCHES = 3
LATELY = 12


@dataclass(frozen=True)
class Reclaimed:
    """One batch that is clay again: what went in, what came out, in grams."""

    lot: Lot
    taken_g: int
    ready_g: int
    at: datetime

    @property
    def lost_g(self) -> int:
        """Below nothing where it took up water."""
        return self.taken_g - self.ready_g

    @property
    def lost_pct(self) -> int:
        return round(100 * self.lost_g / self.taken_g)

    @property
    def gained_pct(self) -> int:
        return -self.lost_pct


def buckets_waiting(person: User) -> list[Lot]:
    """What came back and lies there, by body; mixed ones last."""
    lots = Lot.objects.visible_to(person).filter(kind=LotKind.RETURNED, balance_g__gt=0)
    return list(lots.select_related("body", "studio").order_by("mixed", "body__name", "pk"))


def drying_batches(studio: Studio) -> QuerySet[Batch]:
    """Put out to dry and not weighed since, the first ready first."""
    batches = Batch.objects.drying().filter(out__studio=studio)
    return batches.select_related("out__lot__body", "out__by").order_by("ready_on", "pk")


def reclaimed(studio: Studio) -> list[Reclaimed]:
    """What became clay again, the newest first. One query."""
    rows = _made(studio).select_related("lot__body", "lot__studio", "made_from").order_by("-at")
    return [
        Reclaimed(row.lot, -row.made_from.grams, row.grams, row.at)
        for row in rows[:LATELY]
        if row.made_from is not None
    ]


def usual_yield(studio: Studio) -> float:
    """What comes out of a gram of scrap: the studio's own median, else the usual. One query."""
    rows = _made(studio).order_by("-at").values_list("grams", "made_from__grams")
    shares = [ready_g / -taken_g for ready_g, taken_g in rows[:50] if taken_g]
    return median(shares) if len(shares) >= LEAST_BATCHES else USUAL_YIELD


def expected_g(batch: Batch, share: float) -> float:
    """What a batch that dries is likely to become. Its entry is loaded."""
    return batch.taken_g * share


def loss_of(lot: Lot) -> Reclaimed | None:
    """Of a reclaimed lot what it was made from; None for every other. One query."""
    row = Entry.objects.filter(lot=lot, made_from__isnull=False).select_related("made_from").first()
    if row is None or row.made_from is None:
        return None
    return Reclaimed(lot, -row.made_from.grams, row.grams, row.at)


def _made(studio: Studio) -> QuerySet[Entry]:
    return Entry.objects.filter(
        studio=studio,
        kind=EntryKind.RECLAIM,
        made_from__isnull=False,
        reversed_by__isnull=True,
    )
