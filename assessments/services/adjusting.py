"""What differs for one student, all at once: counts, dates, and criteria left out."""

from collections.abc import Collection, Mapping
from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext as _

from assessments.models import Criterion, Exemption
from assessments.selectors.exemptions import exemptions_of
from planning.models import Adjustment, Assignment
from planning.services.adjustments import drop_adjustment, set_adjustment
from studio.errors import Refused
from studio.people.access import require_class
from studio.people.audit import record
from studio.people.models import User


def adjust_student(
    *,
    assignment: Assignment,
    student: User,
    by: User,
    counts: Mapping[str, int | None],
    dates: Mapping[str, date | None],
    exempt: Collection[Criterion],
    private_reason: str,
    at: datetime,
) -> Adjustment:
    """Own counts, own dates and exempt criteria, with the one reason for them all."""
    given = (*counts.values(), *dates.values())
    if not exempt and all(value is None for value in given):
        raise Refused(
            _(
                "Nothing differs from the class yet. Fill in what does; to undo an adjustment, "
                "take it away below."
            )
        )
    with transaction.atomic():
        adjustment = set_adjustment(
            assignment=assignment,
            student=student,
            by=by,
            counts=counts,
            dates=dates,
            private_reason=private_reason,
            at=at,
        )
        _set_exempt(assignment, student, by, exempt, at)
    return adjustment


def as_for_the_class(*, assignment: Assignment, student: User, by: User, at: datetime) -> None:
    """Take everything that differs for the student away."""
    require_class(by, assignment.section)
    with transaction.atomic():
        drop_adjustment(assignment=assignment, student=student, by=by)
        _set_exempt(assignment, student, by, (), at)


def _set_exempt(
    assignment: Assignment,
    student: User,
    by: User,
    criteria: Collection[Criterion],
    at: datetime,
) -> None:
    """Exactly these criteria, whichever class they were agreed in; hold the assignment's lock."""
    studio = assignment.section.studio
    if any(criterion.studio_id != studio.pk for criterion in criteria):
        raise Refused(_("Choose from this studio's criteria."), field="exempt")
    there = exemptions_of(assignment, student)
    before = set(there.values_list("criterion", flat=True))
    now = {criterion.pk for criterion in criteria}
    if before == now:
        return
    Exemption.objects.filter(pk__in=list(there.values_list("pk", flat=True))).delete()
    Exemption.objects.bulk_create(
        Exemption(assignment=assignment, student=student, criterion=criterion, by=by, at=at)
        for criterion in set(criteria)
    )
    record(
        studio=studio,
        by=by,
        action="exempt criteria set",
        subject=student,
        before={"assignment": str(assignment.pk), "criteria": sorted(map(str, before))},
        after={"assignment": str(assignment.pk), "criteria": sorted(map(str, now))},
    )
