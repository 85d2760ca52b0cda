"""Who is let in where. Every address of people × everybody, their own things and others'."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from studio.people import urls
from studio.people.models import Closure, Meeting, User
from studio.people.services import (
    create_class,
    create_person,
    edit_person,
    end_enrolment,
    enrol,
    let_sign_in,
    mark_absent,
    move_student,
    reset_password,
    set_teachers,
    unlock_sign_in,
)
from studio.people.tokens import make_token
from tests.cast import NOW, TODAY, School, signed_in

pytestmark = pytest.mark.django_db

HEAD_ONLY = {"people", "staff_new", "person_edit", "person_account", "roster", "roster_preview"}
HEAD_ONLY |= {"roster_apply", "settings", "closure_new", "closure_end"}
TEACHING = {"person", "person_reset", "person_unlock", "class_new", "class_edit", "class_people"}
TEACHING |= {"class_student_new", "class_enrol", "class_leave", "class_move", "class_absent"}
TEACHING |= {"sign_in_cards", "class_dates", "class_date_new", "class_date", "class_date_cancel"}
STAFF = {"tokens", "token_end"}
ANYBODY = {"sign_in", "sign_out"}
SIGNED_IN = {"password"}

NAMES = sorted({pattern.name for pattern in urls.urlpatterns if pattern.name})


def address(name: str, cast: School) -> str:
    """Of something in the cast's own studio and class."""
    section, student = cast.section.pk, cast.student.pk
    meeting = Meeting.objects.filter(section=cast.section).earliest("on").pk
    closure, _made = Closure.objects.get_or_create(
        studio=cast.studio, name="Spring", starts_on=TODAY, ends_on=TODAY
    )
    arguments: dict[str, list[object]] = {
        "roster_preview": ["0" * 64],
        "roster_apply": ["0" * 64],
        "closure_end": [closure.pk],
        "class_date": [section, meeting],
        "class_date_cancel": [section, meeting],
    }
    if name.startswith("person"):
        return reverse(name, args=[student])
    if name in {"class_enrol", "class_leave", "class_move", "class_absent"}:
        return reverse(name, args=[section, student])
    if name.startswith(("class_", "sign_in_cards")) and name != "class_new":
        return reverse(name, args=arguments.get(name, [section]))
    if name == "token_end":
        return reverse(name, args=["00000000-0000-0000-0000-000000000000"])
    return reverse(name, args=arguments.get(name, []))


def test_every_address_is_listed_here() -> None:
    listed = HEAD_ONLY | TEACHING | STAFF | ANYBODY | SIGNED_IN
    assert set(NAMES) == listed


def answers(cast: School, name: str, who: User) -> set[int]:
    client = signed_in(who)
    return {
        client.get(address(name, cast)).status_code,
        client.post(address(name, cast)).status_code,
    }


@pytest.mark.parametrize("name", sorted(HEAD_ONLY))
def test_pages_of_heads_refuse_everybody_else(cast: School, name: str) -> None:
    for who in (cast.teacher, cast.technician, cast.student, cast.nobody):
        assert answers(cast, name, who) == {403}


@pytest.mark.parametrize("name", sorted(TEACHING))
def test_pages_of_teachers_refuse_technicians_and_students(cast: School, name: str) -> None:
    for who in (cast.technician, cast.student, cast.nobody):
        assert answers(cast, name, who) == {403}


@pytest.mark.parametrize("name", sorted(STAFF))
def test_pages_of_staff_refuse_students(cast: School, name: str) -> None:
    for who in (cast.student, cast.nobody):
        assert answers(cast, name, who) == {403}


@pytest.mark.parametrize("name", sorted(TEACHING - {"class_new"}))
def test_other_people_s_classes_and_students_are_not_found(cast: School, name: str) -> None:
    for who in (cast.other_teacher, cast.elsewhere.head, cast.elsewhere.teacher):
        assert answers(cast, name, who) <= {404, 405}


@pytest.mark.parametrize("name", ["person", "person_edit", "person_account", "closure_end"])
def test_a_head_of_another_studio_finds_nothing(cast: School, name: str) -> None:
    assert answers(cast, name, cast.elsewhere.head) <= {404, 405}


@pytest.mark.parametrize("name", [name for name in NAMES if name not in ANYBODY])
def test_signed_out_people_are_asked_to_sign_in(cast: School, name: str, client) -> None:  # type: ignore[no-untyped-def]
    for call in (client.get, client.post):
        answer = call(address(name, cast))
        assert answer.status_code == 302
        assert answer.headers["Location"].startswith("/sign-in/?next=")


@pytest.mark.parametrize("name", sorted((HEAD_ONLY | TEACHING | STAFF) - {"roster_preview"}))
def test_whoever_may_gets_an_answer(cast: School, name: str) -> None:
    assert answers(cast, name, cast.head) <= {200, 302, 404, 405, 409, 422}


def test_a_token_of_somebody_else_is_not_found(cast: School) -> None:
    ends_at = NOW + timedelta(days=9)
    token, _secret = make_token(
        person=cast.head, name="export", scope="read", ends_at=ends_at, at=NOW
    )
    path = reverse("token_end", args=[token.pk])
    assert signed_in(cast.teacher).post(path).status_code == 404
    assert signed_in(cast.head).post(path).status_code == 302


class TestServicesRefuseToo:
    """The same rules hold for whatever calls a service."""

    def refuses(self, act: Callable[[], object]) -> None:
        with pytest.raises(PermissionDenied):
            act()

    @pytest.mark.parametrize("role", ["head", "teacher", "technician"])
    def test_only_a_head_makes_staff(self, cast: School, role: str) -> None:
        for by in (cast.teacher, cast.technician, cast.student, cast.elsewhere.head):
            self.refuses(
                lambda by=by: create_person(  # type: ignore[misc]
                    studio=cast.studio, by=by, role=role, given_name="X", at=NOW
                )
            )

    def test_who_teaches_nothing_here_makes_neither_students_nor_classes(
        self, cast: School
    ) -> None:
        for by in (cast.technician, cast.student, cast.elsewhere.head, cast.nobody):
            self.refuses(
                lambda by=by: create_person(  # type: ignore[misc]
                    studio=cast.studio, by=by, role="student", given_name="X", at=NOW
                )
            )
            self.refuses(lambda by=by: create_class(studio=cast.studio, by=by, title="X"))  # type: ignore[misc]

    def test_accounts_without_a_studio_have_no_head(self, cast: School) -> None:
        named = {"given_name": "X", "family_name": "", "username": "x", "sourced_id": ""}
        self.refuses(lambda: edit_person(person=cast.nobody, by=cast.head, **named))
        self.refuses(lambda: let_sign_in(person=cast.nobody, by=cast.head, allowed=False))

    def test_a_teacher_resets_students_of_own_classes_only(self, cast: School) -> None:
        assert reset_password(person=cast.student, by=cast.teacher, at=NOW)
        beyond = (cast.other_student, cast.other_teacher, cast.head, cast.teacher, cast.nobody)
        for person in (*beyond, cast.elsewhere.student):
            self.refuses(
                lambda person=person: reset_password(person=person, by=cast.teacher, at=NOW)  # type: ignore[misc]
            )

    def test_a_head_resets_everybody_of_the_studio_but_themselves(self, cast: School) -> None:
        for person in (cast.student, cast.teacher, cast.technician):
            assert reset_password(person=person, by=cast.head, at=NOW)
        for person in (cast.head, cast.elsewhere.head, cast.elsewhere.student, cast.nobody):
            self.refuses(
                lambda person=person: reset_password(person=person, by=cast.head, at=NOW)  # type: ignore[misc]
            )

    def test_students_and_technicians_reset_nobody(self, cast: School) -> None:
        for by in (cast.student, cast.classmate, cast.technician):
            self.refuses(lambda by=by: reset_password(person=cast.student, by=by, at=NOW))  # type: ignore[misc]
            self.refuses(lambda by=by: unlock_sign_in(person=cast.student, by=by))  # type: ignore[misc]

    def test_a_teacher_cannot_reach_a_student_by_enrolling_them(self, cast: School) -> None:
        self.refuses(
            lambda: enrol(
                section=cast.section, student=cast.other_student, by=cast.teacher, on=TODAY
            )
        )
        self.refuses(
            lambda: move_student(
                student=cast.other_student,
                section=cast.other_section,
                to=cast.section,
                by=cast.teacher,
                on=TODAY,
            )
        )

    def test_a_student_who_left_is_the_teacher_s_no_more(self, cast: School) -> None:
        end_enrolment(section=cast.section, student=cast.student, by=cast.teacher, on=TODAY)
        self.refuses(lambda: reset_password(person=cast.student, by=cast.teacher, at=NOW))

    def test_nobody_enrols_across_studios(self, cast: School) -> None:
        self.refuses(
            lambda: enrol(
                section=cast.section, student=cast.elsewhere.student, by=cast.head, on=TODAY
            )
        )

    def test_a_teacher_doesn_t_say_who_teaches(self, cast: School) -> None:
        self.refuses(
            lambda: set_teachers(
                section=cast.section, by=cast.teacher, teachers=[cast.other_teacher]
            )
        )

    def test_only_a_head_edits_and_closes_accounts(self, cast: School) -> None:
        named = {"given_name": "X", "family_name": "", "username": "x", "sourced_id": ""}
        self.refuses(lambda: edit_person(person=cast.student, by=cast.teacher, **named))
        self.refuses(lambda: let_sign_in(person=cast.student, by=cast.teacher, allowed=False))
        self.refuses(
            lambda: let_sign_in(person=cast.student, by=cast.elsewhere.head, allowed=False)
        )

    def test_absence_is_marked_by_the_class_s_teachers(self, cast: School) -> None:
        meeting = Meeting.objects.get(section=cast.section, on=TODAY)
        for by in (cast.other_teacher, cast.student, cast.technician, cast.elsewhere.head):
            self.refuses(
                lambda by=by: mark_absent(  # type: ignore[misc]
                    meeting=meeting, student=cast.student, by=by, absent=True, today=TODAY
                )
            )
