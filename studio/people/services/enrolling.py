"""Who is in which class. Leaving ends an enrolment; the row and the work stay."""

from datetime import date, datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Refused
from studio.people.access import require_class
from studio.people.audit import record
from studio.people.models import Enrolment, Role, Section, User

from .accounts import create_person


def enrol(*, section: Section, student: User, by: User, on: date) -> Enrolment:
    """Put somebody whom the person already sees into a class that the person teaches.

    A teacher reaches students of their own classes only, so that nobody gets at a student's
    work or password by enrolling them. A head reaches the whole studio.
    """
    require_class(by, section)
    if not User.objects.visible_to(by).students().filter(pk=student.pk).exists():
        raise PermissionDenied
    with transaction.atomic():
        return _start(section, student, by, on)


def enrol_new_student(
    *,
    section: Section,
    by: User,
    given_name: str,
    family_name: str = "",
    username: str = "",
    sourced_id: str = "",
    at: datetime,
    on: date,
) -> User:
    """A student who has no account yet, made and enrolled in one go."""
    require_class(by, section)
    with transaction.atomic():
        student = create_person(
            studio=section.studio,
            by=by,
            role=Role.STUDENT,
            given_name=given_name,
            family_name=family_name,
            username=username,
            sourced_id=sourced_id,
            at=at,
        ).person
        _start(section, student, by, on)
    return student


def end_enrolment(*, section: Section, student: User, by: User, on: date) -> Enrolment:
    """The student leaves the class today. Their work stays where it is."""
    require_class(by, section)
    with transaction.atomic():
        return _end(section, student, by, on)


def move_student(*, student: User, section: Section, to: Section, by: User, on: date) -> Enrolment:
    """From one class of the person's to another, in one go."""
    require_class(by, section)
    require_class(by, to)
    if section.pk == to.pk:
        raise Refused(_("Choose another class to move to."), field="to")
    with transaction.atomic():
        _end(section, student, by, on)
        return _start(to, student, by, on)


def _start(section: Section, student: User, by: User, on: date) -> Enrolment:
    kept = Section.objects.select_for_update(of=("self",)).get(pk=section.pk)
    if kept.archived:
        raise Refused(_("%(section)s is over. Choose another class.") % {"section": kept})
    if Enrolment.objects.current().filter(section=kept, student=student).exists():
        message = _("%(student)s is in %(section)s already.")
        raise Refused(message % {"student": student, "section": kept}, field="student")
    enrolment = Enrolment.objects.create(section=kept, student=student, joined_on=on)
    record(
        studio=section.studio,
        by=by,
        action="enrolled",
        subject=student,
        after={"section": str(kept.pk), "joined_on": on.isoformat()},
    )
    return enrolment


def _end(section: Section, student: User, by: User, on: date) -> Enrolment:
    enrolment = (
        Enrolment.objects.select_for_update(of=("self",))
        .filter(section=section, student=student, left_on__isnull=True)
        .first()
    )
    if enrolment is None:
        message = _("%(student)s is not in %(section)s any more.")
        raise Refused(message % {"student": student, "section": section})
    enrolment.left_on = max(on, enrolment.joined_on)
    enrolment.save(update_fields=["left_on"])
    record(
        studio=section.studio,
        by=by,
        action="left the class",
        subject=student,
        before={"section": str(section.pk), "joined_on": enrolment.joined_on.isoformat()},
        after={"left_on": enrolment.left_on.isoformat()},
    )
    return enrolment
