"""How far the pots of a class are under way, for its shelves."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.db.models import Max
from django.utils import timezone

from planning.plans.building import reached_of
from planning.rows.lessons import Reached
from planning.selectors.lessons import lessons_between
from studio.bench.models import CarryOn, CarryOnState, RowLaid
from studio.people.selectors import lessons_by_class
from studio.ware.models import Pot
from studio.ware.stages import DAMP

from .rows import carried_timing


@dataclass(frozen=True)
class UnderWay:
    """Rows that stand of those listed (0 for a plan from before rows were kept), and where the
    wall should be when the next lesson ends. `asks`: to carry on from here."""

    laid: int
    rows: int
    by_lesson: Reached | None
    asks: bool


def under_way(pots: Collection[Pot], today: date) -> dict[UUID, UnderWay]:
    """By pot, of those that are being built. Three queries, and no form is made: the kept figures
    say how high each row is. The pots' plans, pieces and assignments are loaded."""
    building = [pot for pot in pots if not pot.lost and pot.stage in DAMP]
    ids = [pot.pk for pot in building]
    standing = RowLaid.objects.standing().filter(pot__in=ids).order_by()
    laid = dict(standing.values_list("pot").annotate(most=Max("row")))
    found = CarryOn.objects.filter(
        pot__in=ids, state__in=(CarryOnState.ASKED, CarryOnState.AGREED)
    ).order_by("decided_at", "pk")
    agreed = {each.pot_id: each for each in found if each.state == CarryOnState.AGREED}
    asked = {each.pot_id for each in found if each.state == CarryOnState.ASKED}
    dates = lessons_by_class({pot.piece.assignment.section_id for pot in building})
    return {
        pot.pk: _under_way(
            pot,
            laid.get(pot.pk, 0),
            agreed.get(pot.pk),
            dates[pot.piece.assignment.section_id],
            today,
            asks=pot.pk in asked,
        )
        for pot in building
    }


def _under_way(
    pot: Pot,
    laid: int,
    agreed: CarryOn | None,
    dates: list[date],
    today: date,
    *,
    asks: bool,
) -> UnderWay:
    terms = pot.piece.assignment
    if agreed is not None:
        since = timezone.localtime(agreed.asked_at).date()
        lessons = lessons_between(terms, dates, since)
        reached = carried_timing(agreed, terms, lessons).reached
        rows = agreed.after_row + len(agreed.figures["rows"])
    else:
        pot.plan.piece = pot.piece
        lessons = lessons_between(terms, dates, timezone.localtime(pot.begun_at).date())
        reached = reached_of(pot.plan, lessons)
        rows = len((pot.plan.figures or {}).get("rows", []))
    by_lesson = next((each for each in reached if each.on >= today), None)
    return UnderWay(laid, rows, by_lesson, asks)
