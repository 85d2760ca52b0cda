"""The dates of a brief in one class."""

from collections.abc import Mapping
from datetime import date, datetime

from django.db import transaction
from django.db.models import ProtectedError
from django.utils.translation import gettext as _

from planning.milestones import out_of_order
from planning.models import (
    Assignment,
    Milestone,
    MilestoneKind,
    Scan,
    ScanPage,
    Sheet,
    Thumbnail,
)
from studio.errors import Refused
from studio.people.access import require_class
from studio.people.audit import record
from studio.people.models import User
from studio.people.services.dates import check_near

from .ideas import ask_for_the_class


def set_dates(
    *,
    assignment: Assignment,
    by: User,
    given_on: date,
    due_on: date,
    milestones: Mapping[str, date],
    at: datetime,
) -> Assignment:
    """Move the dates of the whole class. `milestones` has a date for every kind.

    A step may end on the day that the one before it ends, not earlier. Students' own dates stay.
    """
    require_class(by, assignment.section)
    with transaction.atomic():
        kept = locked_assignment(assignment)
        today = at.astimezone(kept.section.studio.zone).date()
        dates = {"given_on": given_on, **_in_order(milestones), "due_on": due_on}
        for name, day in dates.items():
            check_near(day, today, field=name)
        check_order(dates)
        rows = {row.kind: row for row in kept.milestones.all()}
        before = {"given_on": kept.given_on, "due_on": kept.due_on}
        before |= {kind: row.on for kind, row in rows.items()}
        if before == dates:
            return kept
        kept.given_on, kept.due_on = given_on, due_on
        kept.save(update_fields=["given_on", "due_on"])
        for kind, on in _in_order(milestones).items():
            Milestone.objects.update_or_create(assignment=kept, kind=kind, defaults={"on": on})
        record(
            studio=kept.section.studio,
            by=by,
            action="dates moved",
            subject=kept,
            before={name: day.isoformat() for name, day in before.items()},
            after={name: day.isoformat() for name, day in dates.items()},
        )
    return kept


def count_ideas(*, assignment: Assignment, counted: bool, by: User) -> Assignment:
    """Whether the class's drawings are compared and their ideas shown and asked for."""
    require_class(by, assignment.section)
    with transaction.atomic():
        kept = locked_assignment(assignment)
        if kept.ideas_counted == counted:
            return kept
        kept.ideas_counted = counted
        kept.save(update_fields=["ideas_counted"])
        record(
            studio=kept.section.studio,
            by=by,
            action="ideas counted" if counted else "ideas not counted",
            subject=kept,
            before={"counted": not counted},
            after={"counted": counted},
        )
        if counted:
            ask_for_the_class(assignment=kept, by=by)
    return kept


def take_back_brief(*, assignment: Assignment, by: User) -> None:
    """A brief that was given by mistake: gone with its empty pieces, while nothing is drawn."""
    require_class(by, assignment.section)
    with transaction.atomic():
        kept = locked_assignment(assignment)
        # A photo that arrives now waits for its piece, and finds it gone.
        pieces = list(kept.pieces.select_for_update().values_list("pk", flat=True))
        if any(each.objects.filter(piece__in=pieces).exists() for each in (Thumbnail, Sheet)):
            raise Refused(
                _("Somebody has drawn for it already. Put the class's dates right instead.")
            )
        scans = Scan.objects.filter(assignment=kept)
        unread = scans.filter(state=Scan.State.RECEIVED).exists()
        if unread or ScanPage.objects.waiting().filter(scan__in=scans).exists():
            raise Refused(_("Scanned sheets of this class wait. See to them first."))
        record(
            studio=kept.section.studio,
            by=by,
            action="brief taken back",
            subject=kept,
            before={"title": kept.title, "pieces": len(pieces)},
        )
        try:
            kept.delete()
        except ProtectedError:
            # What stands above planning hangs on its pieces without a drawing: marks.
            raise Refused(
                _("Somebody has marks for it already. Put the class's dates right instead.")
            ) from None


def locked_assignment(assignment: Assignment) -> Assignment:
    """The assignment's own row, held until the transaction ends."""
    return (
        Assignment.objects.select_for_update(of=("self",))
        .select_related("section__studio")
        .get(pk=assignment.pk)
    )


def check_order(dates: Mapping[str, date]) -> None:
    """`dates` from given to due in the order of the job."""
    if wrong := out_of_order(list(dates.items())):
        step, before = wrong
        message = _("This is before “%(before)s”. Choose the same day or a later one.")
        raise Refused(message % {"before": date_label(before)}, field=step)
    if dates["given_on"] >= dates["due_on"]:
        message = _("The due date is not after the day it is given. Choose a later one.")
        raise Refused(message, field="due_on")


def date_label(name: str) -> str:
    """What a date of an assignment is called."""
    labels = {"given_on": _("given on"), "due_on": _("due on")}
    return labels[name] if name in labels else str(MilestoneKind(name).label)


def _in_order(milestones: Mapping[str, date]) -> dict[str, date]:
    missing = [kind for kind in MilestoneKind.values if kind not in milestones]
    if missing:
        raise Refused(_("A date is missing here."), field=missing[0])
    return {kind: milestones[kind] for kind in MilestoneKind.values}
