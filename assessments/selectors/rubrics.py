"""Rubrics as they are read: criteria with their levels, and which version an assignment has."""

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db.models import (
    BooleanField,
    Exists,
    ExpressionWrapper,
    Max,
    OuterRef,
    Prefetch,
    Q,
    QuerySet,
)

from assessments.models import AssignmentRubric, Level, Marking, Rubric, RubricVersion
from assessments.scoring.score import Judged, score
from planning.models import Assignment
from studio.people.models import Studio, User


@dataclass(frozen=True)
class LevelSeen:
    """`digit` is the key that chooses it: 1 for the lowest."""

    pk: UUID
    points: Decimal
    descriptor: str
    digit: int


@dataclass(frozen=True)
class CriterionSeen:
    """A criterion of one version with its levels, the lowest first."""

    pk: UUID
    criterion: UUID
    title: str
    weight: Decimal
    evidence: str
    levels: tuple[LevelSeen, ...]

    @property
    def most(self) -> Decimal:
        return max(level.points for level in self.levels)


def criteria_in(versions: Collection[UUID]) -> dict[UUID, list[CriterionSeen]]:
    """The criteria of several versions in their order; one query."""
    rows = (
        Level.objects.filter(criterion__version__in=versions)
        .select_related("criterion__criterion")
        .order_by("criterion__position", "criterion", "points")
    )
    levels: dict[UUID, list[LevelSeen]] = defaultdict(list)
    of = {}
    for row in rows:
        of[row.criterion_id] = row.criterion
        digit = len(levels[row.criterion_id]) + 1
        levels[row.criterion_id].append(LevelSeen(row.pk, row.points, row.descriptor, digit))
    found: dict[UUID, list[CriterionSeen]] = {pk: [] for pk in versions}
    for pk, each in of.items():
        found[each.version_id].append(
            CriterionSeen(
                pk=pk,
                criterion=each.criterion_id,
                title=each.criterion.title,
                weight=each.weight,
                evidence=each.evidence,
                levels=tuple(levels[pk]),
            )
        )
    return found


def most_points(criteria: Sequence[CriterionSeen]) -> Decimal:
    """What a piece could get at most, after weights."""
    return score(Judged(each.weight, each.most) for each in criteria).most


def newest_version(rubric: Rubric) -> RubricVersion:
    return RubricVersion.objects.select_related("rubric").filter(rubric=rubric).latest("number")


def default_version(studio: Studio) -> RubricVersion | None:
    """Of the shipped rubric while it is in use, else of the oldest that is."""
    written = ExpressionWrapper(Q(by__isnull=False), BooleanField())
    in_use = Rubric.objects.filter(studio=studio, archived=False)
    rubrics = in_use.order_by(written, "created_at", "pk")
    newest = RubricVersion.objects.filter(rubric=rubrics.values("pk")[:1]).order_by("-number")
    return newest.select_related("rubric").first()


def version_of(assignment: Assignment) -> RubricVersion | None:
    """The version that was chosen for the assignment, else the one that it will begin with.

    None only in a studio that has no rubric yet.
    """
    chosen = AssignmentRubric.objects.filter(assignment=assignment)
    row = chosen.select_related("version__rubric").first()
    return row.version if row is not None else default_version(assignment.section.studio)


def versions_to_choose(studio: Studio, kept: RubricVersion | None) -> QuerySet[RubricVersion]:
    """The newest version of every rubric in use, and the one that an assignment has."""
    later = RubricVersion.objects.filter(rubric=OuterRef("rubric"), number__gt=OuterRef("number"))
    wanted = Q(~Exists(later), rubric__studio=studio, rubric__archived=False)
    if kept is not None:
        wanted |= Q(pk=kept.pk)
    rows = RubricVersion.objects.filter(wanted)
    return rows.select_related("rubric").order_by("rubric__title", "number")


def is_used(version: RubricVersion) -> bool:
    """Whether it may not change any more: an assignment has it, or a marking refers to it."""
    return version.uses.exists() or Marking.objects.filter(version=version).exists()


@dataclass(frozen=True)
class RubricRow:
    rubric: Rubric
    number: int
    classes: list[str] = field(default_factory=list)


def rubric_rows(person: User, *, archived: bool) -> list[RubricRow]:
    """Rubrics with their newest version and the person's classes that are marked by them."""
    listed = Rubric.objects.visible_to(person).filter(archived=archived)
    newest: list[Any] = list(listed.annotate(newest=Max("versions__number")).order_by("title"))
    rows = {rubric.pk: RubricRow(rubric, rubric.newest) for rubric in newest}
    uses = (
        AssignmentRubric.objects.filter(
            version__rubric__in=rows,
            assignment__in=Assignment.objects.taught_by(person).order_by(),
            assignment__section__archived=False,
        )
        .order_by("assignment__section__title")
        .values_list("version__rubric", "assignment__section__title")
    )
    for rubric, title in uses:
        if title not in rows[rubric].classes:
            rows[rubric].classes.append(title)
    return list(rows.values())


def versions_with_uses(rubric: Rubric, person: User) -> list[RubricVersion]:
    """Newest first, each with the person's assignments that have it (`seen_uses`)."""
    taught = Assignment.objects.taught_by(person).order_by()
    uses = AssignmentRubric.objects.filter(assignment__in=taught).select_related(
        "assignment__section"
    )
    return list(
        rubric.versions.order_by("-number").prefetch_related(
            Prefetch("uses", queryset=uses, to_attr="seen_uses")
        )
    )
