"""What was recorded on pots: stages, checks, flaws, losses; all in one query."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import CharField, F, FloatField, QuerySet, Value
from django.db.models.functions import Cast

from studio.ware.models import Cause, Flaw, GreenwareCheck, Loss, StageEntry

NONE_MM = (0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Record:
    """`words` differ by kind: what and how mended; kind, stage and cause of a loss; stage."""

    at: datetime
    words: tuple[str, ...]
    sizes_mm: tuple[float, float, float] = NONE_MM


@dataclass
class Records:
    """Of one pot, each in order of time. Flaws are those from making; `unset` those whose cause
    nobody has set yet."""

    stages: list[Record] = field(default_factory=list)
    checks: list[Record] = field(default_factory=list)
    flaws: list[Record] = field(default_factory=list)
    unset: list[Record] = field(default_factory=list)
    losses: list[Record] = field(default_factory=list)

    @property
    def check(self) -> Record | None:
        """The greenware check that stands."""
        return self.checks[-1] if self.checks else None

    @property
    def lost(self) -> Record | None:
        return self.losses[-1] if self.losses else None

    @property
    def causes_unset(self) -> int:
        """Of how many flaws and losses staff have not set the cause."""
        return len(self.unset) + sum(each.words[2] == Cause.UNKNOWN for each in self.losses)

    @property
    def lost_in_making(self) -> list[Record]:
        return [each for each in self.losses if each.words[2] == Cause.MAKING]


def records_of(pots: Iterable[UUID]) -> dict[UUID, Records]:
    """By pot, also for pots of which nothing is recorded; one query."""
    ids = list(pots)
    found: dict[UUID, Records] = defaultdict(Records)
    found.update({pk: Records() for pk in ids})
    rows = _stages(ids).union(
        _checks(ids),
        _flaws("flaws", ids, Cause.MAKING),
        _flaws("unset", ids, Cause.UNKNOWN),
        _losses(ids),
        all=True,
    )
    listed: list[tuple[Any, ...]] = sorted(rows, key=lambda row: row[2])
    for kind, pot, at, one, two, three, height, front, depth in listed:
        record = Record(at, (one, two, three), (height, front, depth))
        getattr(found[pot], kind).append(record)
    return found


def _stages(pots: list[UUID]) -> "QuerySet[Any, Any]":
    return _rows("stages", StageEntry.objects.filter(pot__in=pots), ("stage",))


def _checks(pots: list[UUID]) -> "QuerySet[Any, Any]":
    rows = GreenwareCheck.objects.standing().filter(pot__in=pots)
    return _rows("checks", rows, ("cracks",), ("height_mm", "front_mm", "depth_mm"))


def _flaws(kind: str, pots: list[UUID], cause: Cause) -> "QuerySet[Any, Any]":
    rows = Flaw.objects.filter(pot__in=pots, cause=cause)
    return _rows(kind, rows, ("what", "mended"))


def _losses(pots: list[UUID]) -> "QuerySet[Any, Any]":
    """Those that stand: a pot that was found is not lost."""
    rows = Loss.objects.filter(pot__in=pots, found_at__isnull=True)
    return _rows("losses", rows, ("kind", "stage", "cause"))


def _rows(
    kind: str,
    rows: "QuerySet[Any]",
    words: tuple[str, ...],
    sizes: tuple[str, ...] = (),
) -> "QuerySet[Any, Any]":
    """Nine columns of the same types, whatever the table."""
    texts = [F(name) for name in words] + [Value("", CharField())] * (3 - len(words))
    numbers: list[Any] = [F(name) for name in sizes] or [Value(0.0, FloatField())] * 3
    named = {
        "kind_of": Value(kind, CharField()),
        **{f"text_{n}": Cast(each, CharField()) for n, each in enumerate(texts)},
        **{f"size_{n}": Cast(each, FloatField()) for n, each in enumerate(numbers)},
    }
    columns = ("kind_of", "pot", "at", *(name for name in named if name != "kind_of"))
    listed: QuerySet[Any, Any] = rows.order_by().annotate(**named).values_list(*columns)
    return listed
