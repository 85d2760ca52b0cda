"""The safety talk: who heard it, and whether clay waits for it."""

from collections.abc import Collection
from datetime import date, datetime
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from studio.clay.models import SafetyTalk, TalkRule
from studio.errors import Refused
from studio.people.access import require_head
from studio.people.audit import record, record_all
from studio.people.models import Enrolment, Section, Studio, User
from studio.people.services.checking import locked_studio
from studio.people.services.dates import check_near


def record_talk(
    *, students: Collection[User], on: date, by: User, at: datetime
) -> list[SafetyTalk]:
    """These students heard it on this day. Who is down for the day already stays so."""
    if not students:
        raise Refused(_("Tick whoever heard the talk."), field="students")
    if not by.is_staff or by.studio is None:
        raise PermissionDenied
    _check_day(on, by.studio, at)
    wanted = {student.pk for student in students}
    with transaction.atomic():
        locked_studio(by.studio)
        _check_in_own_classes(wanted, by)
        there = SafetyTalk.objects.filter(student__in=wanted, on=on)
        down = set(there.values_list("student", flat=True))
        talks = SafetyTalk.objects.bulk_create(
            SafetyTalk(student_id=pk, on=on, by=by) for pk in sorted(wanted - down)
        )
        record_all(
            studio=by.studio,
            by=by,
            action="safety talk recorded",
            changes=[
                (talk, {}, {"student": str(talk.student_id), "on": on.isoformat()})
                for talk in talks
            ],
        )
    return talks


def set_talk_rule(*, studio: Studio, talk_first: bool, by: User) -> TalkRule:
    """Whether clay for a pot waits until its student's talk is recorded. A head decides."""
    require_head(by, studio)
    with transaction.atomic():
        locked_studio(studio)
        rule, _made = TalkRule.objects.get_or_create(studio=studio)
        if rule.talk_first != talk_first:
            before, rule.talk_first = rule.talk_first, talk_first
            rule.save(update_fields=["talk_first"])
            record(
                studio=studio,
                by=by,
                action="rule of the safety talk set",
                subject=rule,
                before={"talk_first": before},
                after={"talk_first": talk_first},
            )
    return rule


def _check_day(on: date, studio: Studio, at: datetime) -> None:
    today = at.astimezone(studio.zone).date()
    check_near(on, today)
    if on > today:
        raise Refused(_("This day is still to come. Record the talk when it was held."), field="on")


def _check_in_own_classes(wanted: set[UUID], by: User) -> None:
    seen = Enrolment.objects.current().filter(
        section__in=Section.objects.visible_to(by).order_by(), student__in=wanted
    )
    if wanted - set(seen.values_list("student", flat=True)):
        raise PermissionDenied
