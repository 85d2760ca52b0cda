"""The clay that approved plans still wait for."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from django.db.models import OuterRef, Subquery, Sum
from django.db.models.functions import Coalesce

from planning.models import Assignment, Piece, PlanState, PlanVersion
from planning.models.piece import PieceQuerySet
from studio.clay.models import Entry
from studio.people.models import Section, Studio, User
from studio.ware.models import Pot

from .pots import TAKES_CLAY

# A lump within two parts in a hundred of its weight is that weight (common practice, no source).
NEAR_ENOUGH = 0.02


@dataclass(frozen=True)
class ClassNeed:
    """How much clay a class waits for in one assignment, and for how many pots."""

    assignment: Assignment
    pots: int
    needed_g: float


def needs_of_studio(studio: Studio) -> Mapping[UUID, float]:
    """By clay body, over the classes that aren't over. One query."""
    needed: dict[UUID, float] = defaultdict(float)
    for row in _waiting(Piece.objects.filter(studio=studio)):
        needed[row["assignment__clay_body"]] += row["needed_g"]
    return needed


def class_needs(person: User, *, since: date) -> list[ClassNeed]:
    """The assignments that the person may hand clay to and that wait for some, then the others
    that are due after `since`. Two queries.
    """
    sections = Section.objects.visible_to(person).current().order_by()
    assignments = Assignment.objects.filter(section__in=sections)
    needed: dict[UUID, list[float]] = defaultdict(list)
    for row in _waiting(Piece.objects.filter(assignment__in=assignments.order_by())):
        needed[row["assignment"]].append(row["needed_g"])
    ordered = assignments.select_related("section").order_by("section__title", "given_on", "pk")
    rows = [
        ClassNeed(assignment=each, pots=len(needed[each.pk]), needed_g=sum(needed[each.pk]))
        for each in ordered
    ]
    shown = [row for row in rows if row.pots or row.assignment.due_on >= since]
    return sorted(shown, key=lambda row: not row.pots)


def _waiting(pieces: PieceQuerySet) -> list[dict[str, Any]]:
    """Pieces with a plan whose pot has got less clay than the plan says, as plain rows."""
    approved = PlanVersion.objects.filter(piece=OuterRef("pk"), state=PlanState.APPROVED)
    # The pot pins a plan; before there is a pot, the newest approved one holds.
    pots = Pot.objects.standing().filter(piece=OuterRef("pk")).order_by()
    moved = Entry.objects.filter(pot__piece=OuterRef("pk"), pot__lost="").order_by()
    rows = (
        pieces.of_enrolled()
        .filter(assignment__section__archived=False)
        .order_by()
        .annotate(
            plan_g=Coalesce(
                Subquery(pots.values("plan__issue_g")[:1]),
                Subquery(approved.order_by("-number").values("issue_g")[:1]),
            ),
            moved_g=Subquery(
                moved.values("pot__piece").annotate(all_g=Sum("grams")).values("all_g")
            ),
            stage=Subquery(pots.values("stage")[:1]),
        )
        .values("assignment", "assignment__clay_body", "plan_g", "moved_g", "stage")
    )
    return [
        row | {"needed_g": left_g}
        for row in rows
        if (left_g := remaining_g(row["plan_g"], -(row["moved_g"] or 0), row["stage"])) > 0
    ]


def remaining_g(planned_g: float | None, out_g: int, stage: str | None) -> float:
    """What is still to be handed out for a pot, grams; nothing without a plan, once it is dry, or
    where a scale's reading is all that lacks.

    `stage` is None before the pot is begun.
    """
    if planned_g is None or stage not in {None, *TAKES_CLAY}:
        return 0.0
    left_g = planned_g - out_g
    return left_g if left_g > planned_g * NEAR_ENOUGH else 0.0
