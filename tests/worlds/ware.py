"""Pots, places and what is recorded about them."""

from collections.abc import Mapping
from typing import Any

from planning.models import PlanVersion
from planning.services.plans import approve
from studio.ware.services import begin_pot
from tests.cast import NOW, School
from tests.planning.work import a_piece_with_a_plan


def things(cast: School, made: Mapping[str, str]) -> dict[str, Any]:
    """A wet pot of a fifth piece, whose plan is approved."""
    plan: PlanVersion = a_piece_with_a_plan(cast, "A pot under way")
    approve(plan=plan, by=cast.teacher, at=NOW)
    pot = begin_pot(piece=plan.piece, by=cast.teacher, at=NOW)
    return {"pot": pot, "pot_piece": plan.piece}
