"""Safety talks, and the rule that clay waits for them."""

from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied

from studio.clay.models import SafetyTalk, TalkRule
from studio.clay.services import record_talk, set_talk_rule
from studio.errors import Refused
from studio.people.models import AuditEntry
from studio.people.services import end_enrolment
from tests.cast import NOW, TODAY, School

pytestmark = pytest.mark.both_databases


def test_a_class_hears_the_talk_once_a_day(cast: School) -> None:
    both = [cast.student, cast.classmate]
    first = record_talk(students=[cast.student], on=TODAY, by=cast.teacher, at=NOW)
    second = record_talk(students=both, on=TODAY, by=cast.technician, at=NOW)
    assert [talk.student_id for talk in first] == [cast.student.pk]
    assert [talk.student_id for talk in second] == [cast.classmate.pk]
    record_talk(students=both, on=TODAY - timedelta(1), by=cast.head, at=NOW)
    assert SafetyTalk.objects.count() == 4
    assert AuditEntry.objects.filter(action="safety talk recorded").count() == 4


def test_a_talk_needs_listeners_and_a_day_that_was(cast: School) -> None:
    with pytest.raises(Refused, match="Tick whoever heard the talk"):
        record_talk(students=[], on=TODAY, by=cast.teacher, at=NOW)
    with pytest.raises(Refused, match="This day is still to come"):
        record_talk(students=[cast.student], on=TODAY + timedelta(1), by=cast.teacher, at=NOW)


def test_a_talk_is_recorded_by_staff_of_the_class(cast: School) -> None:
    for person in (cast.other_teacher, cast.student, cast.elsewhere.head, cast.nobody):
        with pytest.raises(PermissionDenied):
            record_talk(students=[cast.student], on=TODAY, by=person, at=NOW)
    end_enrolment(section=cast.section, student=cast.student, by=cast.head, on=TODAY)
    with pytest.raises(PermissionDenied):
        record_talk(students=[cast.student], on=TODAY, by=cast.teacher, at=NOW)


def test_a_head_sets_the_rule(cast: School) -> None:
    for _time in range(2):
        assert set_talk_rule(studio=cast.studio, talk_first=True, by=cast.head).talk_first
    assert AuditEntry.objects.filter(action="rule of the safety talk set").count() == 1
    set_talk_rule(studio=cast.studio, talk_first=False, by=cast.head)
    assert not TalkRule.objects.get().talk_first
    for person in (cast.teacher, cast.technician, cast.elsewhere.head):
        with pytest.raises(PermissionDenied):
            set_talk_rule(studio=cast.studio, talk_first=True, by=person)
