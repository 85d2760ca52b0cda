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
    """By clay body, over the classes that aren't over. Two queries.

    A class of which no pot got clay by itself gets it as a whole, in bags or cut parts of them:
    what it was handed and didn't bring back in its bucket counts as its pots' clay.
    """
    of_assignment: dict[UUID, list[dict[str, Any]]] = defaultdict(list)
    for row in _rows(Piece.objects.filter(studio=studio)):
        of_assignment[row["assignment"]].append(row)
    with_classes = _with_classes(studio)
    needed: dict[UUID, float] = defaultdict(float)
    for rows in of_assignment.values():
        first = rows[0]
        needed_g = sum(row["needed_g"] for row in rows)
        if not any(row["moved_g"] for row in rows):
            # Two briefs of one class in one body share it, the first come first.
            key = (first["assignment__section"], first["assignment__clay_body"])
            there_g = min(needed_g, with_classes.get(key, 0.0))
            with_classes[key] = with_classes.get(key, 0.0) - there_g
            needed_g -= there_g
        needed[first["assignment__clay_body"]] += needed_g
    return needed


def _with_classes(studio: Studio) -> dict[tuple[UUID, UUID], float]:
    """By class and clay body what the class as a whole was handed less what its buckets brought
    back, while the class goes on.
    """
    rows = (
        Entry.objects.filter(
            studio=studio,
            section__isnull=False,
            section__archived=False,
            lot__mixed=False,
        )
        .order_by()
        .values_list("section", "lot__body")
        .annotate(all_g=Sum("grams"))
    )
    return {(section, body): max(0.0, float(-all_g)) for section, body, all_g in rows if section}


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
    return [row for row in _rows(pieces) if row["needed_g"] > 0]


def _rows(pieces: PieceQuerySet) -> list[dict[str, Any]]:
    """Pieces of students now in classes that go on, as plain rows, with what each still needs."""
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
        .values(
            "assignment",
            "assignment__section",
            "assignment__clay_body",
            "plan_g",
            "moved_g",
            "stage",
        )
    )
    return [
        {**row, "needed_g": remaining_g(row["plan_g"], -(row["moved_g"] or 0), row["stage"])}
        for row in rows
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
