"""The cast stands as it says."""

import pytest

from studio.people.models import Meeting, Section, User
from tests.cast import PASSWORD, School

pytestmark = pytest.mark.django_db


def test_everybody_can_sign_in_with_the_one_password(cast: School) -> None:
    everybody = (cast.head, cast.teacher, cast.student, cast.elsewhere.student, cast.nobody)
    assert all(person.check_password(PASSWORD) for person in everybody)


def test_each_role_sees_its_own_classes(cast: School) -> None:
    seen = {
        person: set(Section.objects.visible_to(person))
        for person in (cast.head, cast.teacher, cast.other_student, cast.nobody)
    }
    assert seen[cast.head] == {cast.section, cast.other_section}
    assert seen[cast.teacher] == {cast.section}
    assert seen[cast.other_student] == {cast.other_section}
    assert seen[cast.nobody] == set()


def test_each_role_sees_its_own_people(cast: School) -> None:
    seen = User.objects.visible_to
    assert set(seen(cast.teacher)) == {cast.teacher, cast.student, cast.classmate}
    assert set(seen(cast.student)) == {cast.student}
    assert set(seen(cast.technician)) == {cast.technician}
    assert set(seen(cast.head)) == set(User.objects.filter(studio=cast.studio))
    assert set(seen(cast.nobody)) == {cast.nobody}


def test_classes_meet_on_their_weekdays(cast: School) -> None:
    days = Meeting.objects.filter(section=cast.section).values_list("on", flat=True)
    assert {day.weekday() for day in days} == {0, 2}
    assert len(days) == 42  # 21 weeks from Monday 2 February to Friday 26 June 2026
