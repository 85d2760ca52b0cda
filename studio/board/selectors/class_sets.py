"""Sets of true-size prints that were asked for of a class's project, and what became of them."""

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from django.utils.translation import gettext as _

from planning.models import Assignment, Piece
from planning.plans.paper_sizes import PAPERS
from planning.plans.papers import Paper
from studio.jobs.models import Job

KIND = "class_set"
MOST_SHOWN = 6


@dataclass(frozen=True)
class ClassSet:
    """One that was asked for. `missing`: why pieces had nothing to print, and which."""

    job: Job
    papers: list[str]
    page: str
    missing: list[tuple[str, list[Piece]]]

    @property
    def is_open(self) -> bool:
        return self.job.state in Job.OPEN

    @property
    def is_done(self) -> bool:
        return self.job.state == Job.State.DONE and "file" in self.job.result


def sets_of(assignments: Iterable[UUID]) -> list[Job]:
    """The jobs of these projects, whoever of their teachers asked, the newest first. One query a
    project."""
    return [
        job
        for pk in assignments
        for job in Job.objects.filter(kind=KIND, unique_key__startswith=f"{pk}:").order_by(
            "-asked_at"
        )
    ]


def class_sets(assignment: Assignment) -> list[ClassSet]:
    """Two queries."""
    return shown(sets_of([assignment.pk])[:MOST_SHOWN])


def shown(jobs: Iterable[Job]) -> list[ClassSet]:
    jobs = list(jobs)
    lacking = [each["piece"] for job in jobs for each in job.result.get("missing", ())]
    named = Piece.objects.filter(pk__in=lacking).select_related("student")
    pieces = {str(piece.pk): piece for piece in named}
    return [_shown(job, pieces) for job in jobs]


def _shown(job: Job, pieces: dict[str, Piece]) -> ClassSet:
    lacking: dict[str, list[Piece]] = {}
    for each in job.result.get("missing", ()):
        if each["piece"] in pieces:
            lacking.setdefault(each["why"], []).append(pieces[each["piece"]])
    missing = [(_why(code), those) for code, those in lacking.items()]
    papers = [str(Paper(each).label) for each in job.wanted["papers"]]
    return ClassSet(job, papers, str(dict(PAPERS)[job.wanted["page"]]), missing)


def _why(code: str) -> str:
    return {
        "no_plan": _("No plan sent yet"),
        "refused": _("The plan can’t be computed any more"),
    }[code]
