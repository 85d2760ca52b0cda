"""What differs for one student: own least counts and own dates, with a private reason."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from planning.milestones import out_of_order
from planning.models import Adjustment, Assignment, Milestone, MilestoneKind, OwnDate
from studio.errors import Refused
from studio.people.access import require_class
from studio.people.audit import record
from studio.people.models import Enrolment, User
from studio.people.names import tidy_text
from studio.people.services.checking import check_fields
from studio.people.services.dates import check_near

from .assignments import date_label, locked_assignment

OWN_COUNTS = ("least_thumbnails", "least_source_forms", "least_refinements")
MOST = 50


def set_adjustment(
    *,
    assignment: Assignment,
    student: User,
    by: User,
    counts: Mapping[str, int | None],
    dates: Mapping[str, date | None],
    private_reason: str,
    at: datetime,
) -> Adjustment:
    """The student's own counts (by name of `OWN_COUNTS`) and dates (by kind of milestone).

    What is left out or None is as for the class. The reason is for the class's teachers and
    heads; the audit line doesn't hold it.
    """
    require_class(by, assignment.section)
    with transaction.atomic():
        kept = locked_assignment(assignment)
        _check_in_class(kept, student)
        adjustment = Adjustment.objects.filter(assignment=kept, student=student).first()
        adjustment = adjustment or Adjustment(assignment=kept, student=student)
        before = _shown(adjustment)
        for name in OWN_COUNTS:
            setattr(adjustment, name, counts.get(name))
        adjustment.private_reason = tidy_text(private_reason)
        adjustment.by, adjustment.at = by, at
        _check(adjustment)
        adjustment.save()
        before["dates"] = own_dates(kept, student)
        own = {kind: on for kind, on in dates.items() if on is not None}
        _set_dates(kept, student, own, at.astimezone(kept.section.studio.zone).date())
        record(
            studio=kept.section.studio,
            by=by,
            action="adjusted for a student",
            subject=adjustment,
            before=_plain(before),
            after=_plain(_shown(adjustment) | {"dates": own}),
        )
    return adjustment


def drop_adjustment(*, assignment: Assignment, student: User, by: User) -> None:
    """From now on as for the class."""
    require_class(by, assignment.section)
    with transaction.atomic():
        kept = locked_assignment(assignment)
        there = Adjustment.objects.filter(assignment=kept, student=student)
        adjustment = there.first()
        own = OwnDate.objects.filter(milestone__assignment=kept, student=student)
        if adjustment is None:
            return
        record(
            studio=kept.section.studio,
            by=by,
            action="adjustment taken away",
            subject=adjustment,
            before=_plain(_shown(adjustment) | {"dates": own_dates(kept, student)}),
        )
        own.delete()
        there.delete()


def own_dates(assignment: Assignment, student: User) -> dict[str, date]:
    """The student's own dates by kind of milestone."""
    rows = OwnDate.objects.filter(milestone__assignment=assignment, student=student)
    return dict(rows.values_list("milestone__kind", "on"))


def _set_dates(assignment: Assignment, student: User, own: Mapping[str, date], today: date) -> None:
    milestones = {row.kind: row for row in assignment.milestones.all()}
    for kind, on in own.items():
        if kind not in milestones:
            raise Refused(_("The class has no such milestone."), field=kind)
        check_near(on, today, field=kind)
        if on < assignment.given_on:
            raise Refused(_("This is before the brief was given. Choose a later day."), field=kind)
    _check_order(milestones, own)
    OwnDate.objects.filter(milestone__assignment=assignment, student=student).delete()
    OwnDate.objects.bulk_create(
        OwnDate(milestone=milestones[kind], student=student, on=on) for kind, on in own.items()
    )


def _check_order(milestones: Mapping[str, Milestone], own: Mapping[str, date]) -> None:
    """Own dates among the class's: the steps stay in order."""
    steps = [kind for kind in MilestoneKind.values if kind in milestones]
    wanted = [(kind, own.get(kind, milestones[kind].on)) for kind in steps]
    wrong = out_of_order(wanted) if own else None
    if wrong is None:
        return
    step, before = wrong
    if step in own:
        message = _("This is before “%(other)s”. Choose the same day or a later one.")
        raise Refused(message % {"other": date_label(before)}, field=step)
    message = _("This is after “%(other)s”. Give that an own date too, or choose an earlier day.")
    raise Refused(message % {"other": date_label(step)}, field=before)


def _check_in_class(assignment: Assignment, student: User) -> None:
    here = Enrolment.objects.current().filter(section=assignment.section_id, student=student)
    if not here.exists():
        message = _("%(student)s is not in %(section)s any more.")
        raise Refused(message % {"student": student, "section": assignment.section})


def _check(adjustment: Adjustment) -> None:
    if not adjustment.private_reason:
        message = _("Write the reason. Only teachers of this class and heads read it.")
        raise Refused(message, field="private_reason")
    for name in OWN_COUNTS:
        own = getattr(adjustment, name)
        if own is not None and not 0 <= own <= MOST:
            message = _("Type a number from 0 to %(most)s.") % {"most": MOST}
            raise Refused(message, field=name)
    check_fields(adjustment)


def _shown(adjustment: Adjustment) -> dict[str, Any]:
    return {name: getattr(adjustment, name) for name in OWN_COUNTS}


def _plain(values: dict[str, Any]) -> dict[str, Any]:
    """For the audit line: dates as text."""
    dates = {kind: on.isoformat() for kind, on in values["dates"].items()}
    return values | {"dates": dates}
