"""What a test of the clay room begins with, made through the services."""

from typing import Any

from planning.models import Assignment, PlanVersion
from planning.services.plans import approve
from studio.clay.models import Entry, Lot
from studio.clay.services import issue_clay, receive_delivery
from studio.room.models import ClayBody
from studio.ware.models import Pot
from studio.ware.services import begin_pot
from tests.cast import NOW, TODAY, School
from tests.planning.projects import a_body
from tests.planning.work import a_piece_with_a_plan

# A bag as it is sold: 12.5 kg.
BAG_G = 12_500


def the_body(cast: School) -> ClayBody:
    """The clay body of the studio's briefs."""
    return ClayBody.objects.filter(studio=cast.studio).first() or a_body(cast.teacher)


def a_lot(cast: School, **changed: Any) -> Lot:
    """Two bags of that body, 25 kg."""
    asked: dict[str, Any] = {
        "studio": cast.studio,
        "body": changed.pop("body", None) or the_body(cast),
        "bags": 2,
        "bag_g": BAG_G,
        "label": "Note 2207",
        "came_on": TODAY,
        "by": cast.technician,
        "at": NOW,
    }
    return receive_delivery(**(asked | changed))


def an_approved_plan(cast: School, title: str = "A tall pot") -> PlanVersion:
    plan = a_piece_with_a_plan(cast, title)
    return approve(plan=plan, by=cast.teacher, at=NOW)


def a_pot(cast: School, title: str = "A tall pot") -> Pot:
    """The student's pot in an assignment of its own, begun."""
    return begin_pot(piece=an_approved_plan(cast, title).piece, by=cast.teacher, at=NOW)


def assignment_of(pot: Pot) -> Assignment:
    return Assignment.objects.select_related("section__studio", "clay_body").get(
        pk=pot.piece.assignment_id
    )


def issued(cast: School, pot: Pot, lot: Lot, grams: int = 3000) -> Entry:
    return issue_clay(pot=pot, lot=lot, grams=grams, by=cast.teacher, at=NOW)


def left_g(lot: Lot) -> int:
    return Lot.objects.get(pk=lot.pk).balance_g
