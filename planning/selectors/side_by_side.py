"""Drawings of two students that look the same, for a teacher of both and nobody else."""

from dataclasses import dataclass
from typing import Any, Final

from django.db.models import QuerySet

from planning.exploration.kept import VERSION as FORM_VERSION
from planning.models import Assignment, Piece, Thumbnail
from studio.jobs.models import Job
from studio.people.models import User

KIND: Final = "side_by_side"


@dataclass(frozen=True)
class Looked:
    """What the last look found, of what the person may see today. `drawings`: how many were
    compared; `every`: nothing was left out because there was too much."""

    job: Job | None
    pairs: list[tuple[Thumbnail, Thumbnail]]
    drawings: int
    every: bool

    @property
    def is_open(self) -> bool:
        return self.job is not None and self.job.state in Job.OPEN

    @property
    def is_done(self) -> bool:
        return self.job is not None and self.job.state == Job.State.DONE


def key_of(assignment: Assignment, person: User) -> str:
    """Of the job: what one teacher may look at another may not."""
    return f"{assignment.pk}:{person.pk}"


def together(assignment: Assignment, person: User) -> QuerySet[Assignment]:
    """The classes with the same brief that the person teaches and whose drawings are compared."""
    return Assignment.objects.taught_by(person).filter(
        brief=assignment.brief_id, ideas_counted=True
    )


def forms_in(assignment: Assignment) -> "QuerySet[Any, Any]":
    """(thumbnail, student) of every standing drawing in a class that shows a form."""
    read = Thumbnail.objects.readable().filter(
        piece__assignment=assignment,
        image__drawn_form__version=FORM_VERSION,
        image__drawn_form__code="",
    )
    rows: QuerySet[Any, Any] = read.order_by("pk").values_list("pk", "piece__student")
    return rows


def looked_at(assignment: Assignment, person: User) -> Looked:
    """Two queries."""
    jobs = Job.objects.visible_to(person).filter(kind=KIND)
    job = jobs.filter(unique_key=key_of(assignment, person)).order_by("-asked_at").first()
    result = job.result if job is not None else {}
    told = result.get("pairs", [])
    # Who no longer teaches one of the two students no longer sees the pair.
    pieces = Piece.objects.taught_by(person).order_by()
    seen = (
        Thumbnail.objects.readable()
        .filter(
            pk__in={pk for pair in told for pk in pair},
            piece__in=pieces.filter(assignment__in=together(assignment, person).order_by()),
        )
        .select_related("image", "source_form", "piece__student", "piece__assignment__section")
    )
    by_id = {str(each.pk): each for each in seen} if told else {}
    return Looked(
        job,
        [(by_id[one], by_id[other]) for one, other in told if one in by_id and other in by_id],
        drawings=result.get("drawings", 0),
        every=result.get("all", True),
    )
