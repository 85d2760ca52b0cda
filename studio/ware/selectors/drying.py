"""Pots that dry: since when, how long such pots take here, and what the scale says."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db.models import OuterRef, Subquery

from studio.people.models import Studio, User
from studio.ware.drying import ByWeight, Dried, Expected, by_weight, expected_days, thickness_class
from studio.ware.models import DrynessCheck, GreenwareCheck, Pot, WeighedAs, Weighing

RECORD_FROM = timedelta(days=3 * 365)
THICKEST = 2
"""So many pots of a load are worth weighing: the others are dry before them."""

_DAY_S = 86_400
_HOUR_S = 3600


@dataclass(frozen=True)
class Drying:
    """A pot under its greenware check: days since it, and how many such pots take."""

    pot: Pot
    thickest_mm: float
    since: date
    days: int
    expected: Expected

    @property
    def is_due(self) -> bool:
        return self.days >= self.expected.due_days


@dataclass(frozen=True)
class OnScale:
    """A drying pot's newest weighing, and what it says with the one of a day before, if any."""

    newest: Weighing
    before: Weighing | None
    said: ByWeight | None

    @property
    def lost_g(self) -> float | None:
        return None if self.before is None else self.before.grams - self.newest.grams


def drying_record(studio: Studio, *, now: datetime) -> list[Dried]:
    """The studio's own pots of the last three years that were found air dry. One query."""
    found_dry = DrynessCheck.objects.filter(pot=OuterRef("pot"), air_dry=True)
    since_check = found_dry.filter(at__gte=OuterRef("at")).order_by("at")
    rows = (
        GreenwareCheck.objects.standing()
        .filter(pot__studio=studio, at__gte=now - RECORD_FROM)
        .annotate(dry_at=Subquery(since_check.values("at")[:1]))
        .filter(dry_at__isnull=False)
        .order_by()
        .values_list("thickest_mm", "at", "dry_at")
    )
    return [Dried(mm, (dry_at - at).total_seconds() / _DAY_S) for mm, at, dry_at in rows]


def drying_pots(pots: Collection[Pot], studio: Studio, *, now: datetime) -> list[Drying]:
    """Those of them that dry under a standing greenware check, the thickest first. Two queries."""
    by_key = {pot.pk: pot for pot in pots}
    checks = GreenwareCheck.objects.standing().filter(pot__in=by_key)
    record = drying_record(studio, now=now)
    today = now.astimezone(studio.zone).date()
    # Many pots are of few classes of thickness, and the record is long.
    expected: dict[int, Expected] = {}
    found = []
    for check in checks.order_by("-thickest_mm", "pot"):
        own = thickness_class(check.thickest_mm)
        if own not in expected:
            expected[own] = expected_days(check.thickest_mm, record)
        since = check.at.astimezone(studio.zone).date()
        found.append(
            Drying(
                pot=by_key[check.pot_id],
                thickest_mm=check.thickest_mm,
                since=since,
                days=(today - since).days,
                expected=expected[own],
            )
        )
    return found


def thickest_of(drying: Sequence[Drying]) -> list[Drying]:
    """The one or two of a load that are worth weighing."""
    return sorted(drying, key=lambda each: -each.thickest_mm)[:THICKEST]


def thickest_pots(pots: Collection[Pot], person: User) -> list[GreenwareCheck]:
    """The checks of the one or two thickest of a load that the person may weigh. One query."""
    seen = Pot.objects.visible_to(person).filter(pk__in=[pot.pk for pot in pots]).order_by()
    checks = GreenwareCheck.objects.standing().filter(pot__in=seen)
    rows = checks.select_related("pot__piece").order_by("-thickest_mm", "pot")
    return list(rows[:THICKEST])


def on_scale(pots: Collection[Pot]) -> dict[UUID, OnScale]:
    """By pot what its drying weighings say since its greenware check. One query."""
    check = GreenwareCheck.objects.standing().filter(pot=OuterRef("pot"))
    rows = (
        Weighing.objects.filter(pot__in=[pot.pk for pot in pots], weighed_as=WeighedAs.DRYING)
        .annotate(checked_at=Subquery(check.values("at")[:1]))
        .order_by("at", "pk")
    )
    weighings: dict[UUID, list[Weighing]] = {}
    for row in rows:
        if row.checked_at is not None and row.at >= row.checked_at:
            weighings.setdefault(row.pot_id, []).append(row)
    return {pot: _said(each) for pot, each in weighings.items()}


def _said(weighings: Sequence[Weighing]) -> OnScale:
    """The newest against the newest one of at least a day before; against the first where there
    is none so old.
    """
    *earlier, newest = weighings
    if not earlier:
        return OnScale(newest, None, None)
    pairs = [(each, _by_weight(each, newest)) for each in earlier]
    old_enough = [pair for pair in pairs if pair[1] != ByWeight.TOO_SOON]
    before, said = old_enough[-1] if old_enough else pairs[0]
    return OnScale(newest, before, said)


def _by_weight(first: Weighing, second: Weighing) -> ByWeight:
    return by_weight(
        first.grams,
        second.grams,
        hours=(second.at - first.at).total_seconds() / _HOUR_S,
        step_g=max(first.step_g or 0, second.step_g or 0),
    )
