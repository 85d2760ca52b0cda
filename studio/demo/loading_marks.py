"""Loads what the demo's teachers have marked, and gives one class its marks back."""

from collections import defaultdict
from datetime import datetime, timedelta
from uuid import UUID

from django.core.management.base import CommandError

from assessments.models import RubricCriterion
from assessments.selectors.rubrics import default_version
from assessments.services.choosing_rubric import choose_rubric
from assessments.services.marking import save_marking
from assessments.services.releasing import release
from assessments.services.rubrics import ensure_rubric
from studio.demo.loading_people import School
from studio.demo.loading_pieces import Work
from studio.demo.material import Marks, Material

MARKED_ON, RELEASED_ON = -9, -7


def load_marks(material: Material, school: School, works: dict[str, Work]) -> None:
    """One marking for each row of the file, by the teacher of the class."""
    start = school.clock.at(school.clock.day(MARKED_ON), 16)
    by_section: dict[str, list[tuple[Work, Marks]]] = defaultdict(list)
    for row in material.marks:
        work = works[row.key]
        by_section[work.row.assignment.section.sourced_id].append((work, row))
    for section, marked in by_section.items():
        criteria = _rubric(marked[0][0], school)
        for n, (work, row) in enumerate(marked):
            _mark(work, row, criteria, at=start + timedelta(minutes=4 * n))
        if section in material.released:
            release(
                pieces=[work.row for work, _row in marked],
                by=marked[0][0].teacher,
                at=school.clock.at(school.clock.day(RELEASED_ON), 17),
                with_open=True,
            )


def _rubric(work: Work, school: School) -> list[RubricCriterion]:
    """The shipped rubric, chosen when the brief was given; its criteria in order."""
    assignment = work.row.assignment
    at = school.clock.at(assignment.given_on, 8)
    ensure_rubric(studio=school.studio, at=at)
    version = default_version(school.studio)
    if version is None:
        raise CommandError("The studio has no rubric.")
    choose_rubric(assignment=assignment, version=version, by=work.teacher, at=at)
    return list(version.criteria.prefetch_related("levels").order_by("position"))


def _mark(work: Work, row: Marks, criteria: list[RubricCriterion], *, at: datetime) -> None:
    levels = {
        criterion.pk: _level(criterion, best)
        for criterion, best in zip(criteria, row.levels, strict=True)
    }
    save_marking(
        piece=work.row,
        marker=work.teacher,
        levels=levels,
        notes={},
        comment=row.comment,
        edition=0,
        by=work.teacher,
        at=at,
    )


def _level(criterion: RubricCriterion, best: int) -> UUID | None:
    """The level's id; 4 is the best of four, 0 stays open."""
    in_order = sorted(criterion.levels.all(), key=lambda level: level.points)
    return in_order[best - 1].pk if best else None
