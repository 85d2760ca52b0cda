"""Prints of a whole class that are ready to be fetched."""

from collections.abc import Mapping
from typing import Any

from planning.models import PlanVersion
from planning.plans.papers import Paper
from studio.board.services.class_sets import ask_for_class_set, make_class_set
from studio.jobs.work import claimed
from tests.cast import NOW, School


def things(cast: School, made: Mapping[str, str]) -> dict[str, Any]:
    """Of the class in which the plan waits that was sent."""
    plan = PlanVersion.objects.select_related("piece__assignment__section__studio").get(
        pk=made["plan"]
    )
    job = ask_for_class_set(
        assignment=plan.piece.assignment,
        by=cast.teacher,
        papers=[Paper.BASE],
        page="a4",
        origin="https://studio.example/",
        at=NOW,
    )
    # Where transactions are real the queue has done it already.
    if work := claimed(job_id=str(job.pk)):
        make_class_set(work)
    return {"set_assignment": plan.piece.assignment_id, "class_set": job}
