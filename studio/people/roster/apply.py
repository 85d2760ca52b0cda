"""Apply a previewed roster: one transaction, the same bytes, the same plan, or nothing."""

from datetime import date
from typing import Any
from uuid import UUID

from django.db import models, transaction
from django.db.models.functions import Cast, Concat
from django.utils.translation import gettext as _

from studio.errors import Conflict
from studio.people.access import require_head
from studio.people.audit import Change, record, record_all
from studio.people.models import Enrolment, Role, Section, Studio, Teaching, User
from studio.people.services.checking import locked_studio

from .changes import Changed, RosterPlan
from .kept import drop_upload, kept_upload
from .plan import roster_plan
from .reading import roster_in


def apply_roster(
    *, studio: Studio, by: User, digest: str, fingerprint: str, today: date
) -> RosterPlan:
    """Write the plan that was previewed. Raises `Conflict` where it would now be another."""
    require_head(by, studio)
    roster = roster_in(kept_upload(person=by, digest=digest))
    with transaction.atomic():
        locked_studio(studio)
        plan = roster_plan(roster, studio, today)
        if plan.fingerprint() != fingerprint:
            message = _("The studio's people changed since you looked. Look again, then apply.")
            raise Conflict(message)
        people = _write_people(plan, studio, by)
        sections = _write_classes(plan, studio, by)
        _write_joining(plan, studio, by, people=people, sections=sections, today=today)
        _write_leaving(plan, studio, by, today)
        counts = {
            "new": len(plan.new),
            "changed": len(plan.changed),
            "joined": len(plan.joining),
            "left": len(plan.left),
            "upload": digest,
        }
        record(studio=studio, by=by, action="roster applied", subject=studio, after=counts)
    drop_upload(person=by, digest=digest)
    return plan


def _write_people(plan: RosterPlan, studio: Studio, by: User) -> dict[str, User]:
    """New students get no password; their sign-in cards bring one."""
    made = []
    for new in plan.new:
        student = User(studio=studio, role=Role.STUDENT, **vars(new))
        student.set_unusable_password()
        made.append(student)
    User.objects.bulk_create(made)
    record_all(
        studio=studio,
        by=by,
        action="person made",
        changes=[(student, {}, {"role": Role.STUDENT, "roster": True}) for student in made],
    )
    # Names may change hands within a file: all let go of theirs before one takes another's.
    renamed = [change.pk for change in plan.changed if "username" in change.after]
    User.objects.filter(pk__in=renamed).update(
        username=Concat(models.Value("~"), Cast("id", models.CharField()))
    )
    _write_changes(User.objects.filter(studio=studio), plan.changed, studio, by, "person edited")
    people = User.objects.filter(studio=studio).exclude(sourced_id="")
    return {person.sourced_id: person for person in people}


def _write_classes(plan: RosterPlan, studio: Studio, by: User) -> dict[str, Section]:
    made = Section.objects.bulk_create(
        Section(studio=studio, **vars(new)) for new in plan.new_classes
    )
    record_all(
        studio=studio,
        by=by,
        action="class made",
        changes=[(section, {}, {"title": section.title}) for section in made],
    )
    sections = Section.objects.filter(studio=studio)
    _write_changes(sections, plan.changed_classes, studio, by, "class edited")
    return {section.sourced_id: section for section in sections.exclude(sourced_id="")}


def _write_joining(
    plan: RosterPlan,
    studio: Studio,
    by: User,
    *,
    people: dict[str, User],
    sections: dict[str, Section],
    today: date,
) -> None:
    enrolments = [
        Enrolment(
            section=sections[join.class_id],
            student=people[join.person_id],
            joined_on=join.begins_on or today,
            sourced_id=join.sourced_id,
        )
        for join in plan.joining
    ]
    Enrolment.objects.bulk_create(enrolments)
    joined: list[Change] = [
        (each.student, {}, {"section": str(each.section_id), "joined_on": str(each.joined_on)})
        for each in enrolments
    ]
    record_all(studio=studio, by=by, action="enrolled", changes=joined)
    links = [
        Teaching(section=sections[join.class_id], teacher=people[join.person_id])
        for join in plan.teaching
    ]
    Teaching.objects.bulk_create(links)
    linked: list[Change] = [(each.section, {}, {"teacher": str(each.teacher_id)}) for each in links]
    record_all(studio=studio, by=by, action="teacher added", changes=linked)


def _write_leaving(plan: RosterPlan, studio: Studio, by: User, today: date) -> None:
    going = list(
        Enrolment.objects.filter(pk__in=[each.enrolment_pk for each in plan.left]).select_related(
            "student"
        )
    )
    for enrolment in going:
        enrolment.left_on = max(today, enrolment.joined_on)
    Enrolment.objects.bulk_update(going, ["left_on"])
    left: list[Change] = [
        (each.student, {"section": str(each.section_id)}, {"left_on": str(each.left_on)})
        for each in going
    ]
    record_all(studio=studio, by=by, action="left the class", changes=left)


def _write_changes(
    rows: "models.QuerySet[Any]", changes: list[Changed], studio: Studio, by: User, action: str
) -> None:
    if not changes:
        return
    found: dict[UUID, Any] = rows.in_bulk([change.pk for change in changes])
    for change in changes:
        for column, value in change.after.items():
            setattr(found[change.pk], column, value)
    columns = sorted({column for change in changes for column in change.after})
    rows.bulk_update(found.values(), columns)
    record_all(
        studio=studio,
        by=by,
        action=action,
        changes=[(found[change.pk], dict(change.before), dict(change.after)) for change in changes],
    )
