"""A week of the studio in the tests, planned at once, without a worker."""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import Any

from studio.jobs.models import Job
from studio.jobs.work import claimed
from studio.kilns.selectors.week_asked import ByHand, loaded_pots, open_slots
from studio.kilns.selectors.week_plans import WeekPlan, shown_plan
from studio.kilns.services.week_plans import (
    ask_for_week_plan,
    plan_the_week,
)
from studio.ware.models import Pot
from tests.cast import School
from tests.studio.kilns.loading import LATER

MONDAY = date(2026, 3, 16)
THURSDAY = date(2026, 3, 19)
MINUTE = timedelta(minutes=1)
URL = f"/kilns/week/?week={MONDAY.isoformat()}"


def planned(cast: School, **changed: Any) -> Job:
    job = asked(cast, **changed)
    work = claimed(job_id=str(job.pk))
    assert work is not None
    plan_the_week(work)
    job.refresh_from_db()
    return job


def shown(cast: School) -> WeekPlan:
    found = shown_plan(
        cast.studio, MONDAY, open_slots(cast.studio, MONDAY, LATER), loaded_pots(cast.studio)
    )
    assert found is not None
    return found


def asked(cast: School, **changed: Any) -> Job:
    values: dict[str, Any] = {"studio": cast.studio, "monday": MONDAY, "by_hand": ByHand()}
    return ask_for_week_plan(**values | {"by": cast.technician, "at": LATER} | changed)


def ids(pots: Iterable[Pot]) -> frozenset[str]:
    return frozenset(str(pot.pk) for pot in pots)


def bisque_of(pots: Sequence[Pot]) -> str:
    """The key of their class's decisions."""
    return f"{pots[0].piece.assignment_id} bisque"
