"""Pots on their way, made through the services in as few lines as a test wants."""

from datetime import datetime, timedelta
from typing import Any

from planning.services.plans import approve
from studio.people.models import User
from studio.room.models import Glaze
from studio.ware.models import GreenwareCheck, Place, Pot
from studio.ware.services import (
    add_place,
    begin_pot,
    check_dryness,
    check_glaze,
    check_greenware,
    come_to_stage,
)
from tests.cast import NOW, School
from tests.planning.projects import a_brief, given
from tests.planning.work import piece_of, send

LATER = NOW + timedelta(days=3)
# The pot of `tests.planning.work.LINES` as it is measured, a little smaller than its plan.
SIZES: dict[str, Any] = {
    "thickest_mm": 14,
    "height_mm": 194,
    "front_mm": 184,
    "depth_mm": 184,
    "code_legible": True,
    "cracks": "",
}


def a_pot(cast: School, title: str = "A pot that stands", student: User | None = None) -> Pot:
    """A wet pot of the student's piece in a project of this title."""
    student = student or cast.student
    (assignment,) = given(cast.teacher, cast.section, brief=a_brief(cast.teacher, title))
    plan = send(cast, piece_of(assignment, student))
    approve(plan=plan, by=cast.teacher, at=NOW)
    return begin_pot(piece=plan.piece, by=cast.teacher, at=NOW)


def move(pot: Pot, stage: str, by: User, *, reason: str = "", at: datetime = NOW) -> Pot:
    [moved] = come_to_stage(pots=[pot], stage=stage, by=by, at=at, reason=reason)
    return moved


def check(pot: Pot, by: User, *, at: datetime = NOW, **changed: Any) -> GreenwareCheck:
    return check_greenware(pot=pot, by=by, at=at, **SIZES | changed)


def dried(pot: Pot, by: User) -> Pot:
    """Built, checked, leather-hard, and found air dry."""
    move(pot, "leather_hard", by)
    check(pot, by)
    check_dryness(pots=[pot], air_dry=True, by=by, at=LATER)
    return again(pot)


def bisqued(pot: Pot, by: User) -> Pot:
    dried(pot, by)
    return move(pot, "bisque_fired", by, reason="Unloaded this morning")


def a_glaze(cast: School, name: str = "Celadon", low: str = "5", high: str = "6") -> Glaze:
    return Glaze.objects.create(studio=cast.studio, name=name, cone_from=low, cone_to=high)


def glazed(pot: Pot, cast: School, glaze: Glaze | None = None) -> Pot:
    bisqued(pot, cast.teacher)
    check_glaze(
        pot=pot,
        glazes=[glaze or a_glaze(cast)],
        foot_clean=True,
        thickness_fits=True,
        by=cast.teacher,
        at=LATER,
    )
    return again(pot)


def a_place(cast: School, name: str = "Shelf 1", kind: str = "shelf") -> Place:
    return add_place(studio=cast.studio, by=cast.teacher, name=name, kind=kind)


def again(pot: Pot) -> Pot:
    """As it is now."""
    return Pot.objects.select_related("piece__student", "place", "studio", "plan").get(pk=pot.pk)
