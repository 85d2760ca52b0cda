"""The dates of a brief in a class, and how they lie to its lessons."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from planning.models import Assignment, Milestone, MilestoneKind
from studio.people.calendar import nth_lesson_before


@dataclass(frozen=True)
class DatedStep:
    """A milestone of a class, and how it lies to the lessons."""

    kind: str
    label: str
    on: date
    in_lesson: bool
    lesson_before: date | None
    """The last lesson before, where the day has none and the class has one since it was given."""


def milestones_of(assignment: Assignment) -> list[Milestone]:
    """In the order of the job."""
    order = list(MilestoneKind.values)
    return sorted(assignment.milestones.all(), key=lambda row: order.index(row.kind))


def dated_steps(assignment: Assignment, lessons: Sequence[date]) -> list[DatedStep]:
    """The class's milestones; `lessons` are its meeting dates in order."""
    return [
        _step(row.kind, row.on, assignment.given_on, lessons) for row in milestones_of(assignment)
    ]


def steps_on(dates: Mapping[str, date], given_on: date, lessons: Sequence[date]) -> list[DatedStep]:
    """Dates by milestone that are known already, in the order of the job."""
    return [
        _step(kind, dates[kind], given_on, lessons)
        for kind in MilestoneKind.values
        if kind in dates
    ]


def _step(kind: str, on: date, given_on: date, lessons: Sequence[date]) -> DatedStep:
    before = nth_lesson_before(lessons, on - timedelta(1), 0)
    return DatedStep(
        kind=kind,
        label=str(MilestoneKind(kind).label),
        on=on,
        in_lesson=on in lessons,
        lesson_before=before if before is not None and before >= given_on else None,
    )
