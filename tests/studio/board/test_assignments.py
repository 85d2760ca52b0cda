"""A brief in one class, and what differs for a student."""

from datetime import date, timedelta
from html import unescape
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from assessments.models import Criterion, Exemption
from planning.models import Adjustment, Assignment, OwnDate, Piece
from planning.services.briefs import give_brief
from studio.people.models import AuditEntry
from studio.people.services import create_class
from tests.cast import School, pupil, signed_in, today_there
from tests.planning.projects import a_brief

pytestmark = pytest.mark.django_db

REASON = "A broken wrist, on the mend."


@pytest.fixture
def assignment(cast: School) -> Assignment:
    """Given a week ago, by the clock of the pages."""
    today = today_there()
    [made] = give_brief(
        brief=a_brief(cast.teacher),
        by=cast.teacher,
        sections=[cast.section],
        given_on=today - timedelta(7),
        due_on=today + timedelta(60),
        at=timezone.now(),
    )
    return made


def shown(client: Client, path: str, data: dict[str, Any] | None = None) -> str:
    answer = client.get(path) if data is None else client.post(path, data, follow=True)
    assert answer.status_code == 200, answer.status_code
    return " ".join(unescape(answer.content.decode()).replace("\xa0", " ").split())


def page_of(assignment: Assignment) -> str:
    return reverse("assignment", args=[assignment.pk])


class TestThePage:
    def test_a_teacher_sees_everybody_with_code_and_standing(
        self, assignment: Assignment, cast: School
    ) -> None:
        page = shown(signed_in(cast.teacher), page_of(assignment))
        for piece in assignment.pieces.all():
            assert piece.code in page
        assert "Ode Amari" in page
        assert "no drawing yet" in page
        assert "at least 6 thumbnails, from 3 source forms, then 2 refinements" in page

    def test_who_joined_later_is_given_theirs(self, assignment: Assignment, cast: School) -> None:
        late = pupil(cast.head, cast.section, "Late", "Comer")
        client = signed_in(cast.teacher)
        assert "1 student has no piece yet" in shown(client, page_of(assignment))
        start = reverse("pieces_start", args=[assignment.pk])
        page = shown(client, start, {"x": "y"})
        assert "1 piece and its code" in page
        assert assignment.pieces.filter(student=late).exists()
        assert "Everybody has a piece" in shown(client, start, {"x": "y"})

    def test_an_empty_class_says_what_to_do(self, cast: School) -> None:
        bare = create_class(studio=cast.studio, by=cast.teacher, title="Open studio")
        [made] = give_brief(
            brief=a_brief(cast.teacher),
            by=cast.teacher,
            sections=[bare],
            given_on=today_there(),
            due_on=today_there() + timedelta(30),
            at=timezone.now(),
        )
        page = shown(signed_in(cast.teacher), page_of(made))
        assert "Nobody is in this class yet" in page
        assert "no lesson then" in page

    def test_its_number_of_queries_does_not_depend_on_the_students(
        self, assignment: Assignment, cast: School
    ) -> None:
        client, counts = signed_in(cast.teacher), []
        for n in (0, 12):
            for place in range(n):
                pupil(cast.head, cast.section, f"Pupil{place}", "More")
            client.post(reverse("pieces_start", args=[assignment.pk]), {"x": "y"})
            shown(client, page_of(assignment))  # the message is shown once
            with CaptureQueriesContext(connection) as queries:
                shown(client, page_of(assignment))
            counts.append(len(queries))
        assert counts[0] == counts[1]
        assert counts[0] <= 15

    def test_a_technician_reads_it_without_anybody_s_own_terms(
        self, assignment: Assignment, cast: School
    ) -> None:
        adjust(cast, assignment, least_thumbnails="3")
        page = shown(signed_in(cast.technician), page_of(assignment))
        assert "Ode Amari" in page
        assert "Differs" not in page
        assert "students/" not in page

    def test_a_student_reads_what_is_asked_of_them_and_nothing_of_others(
        self, assignment: Assignment, cast: School
    ) -> None:
        own = today_there() + timedelta(75)
        adjust(cast, assignment, least_thumbnails="3", built=own)
        page = shown(signed_in(cast.student), page_of(assignment))
        assert "at least 3 thumbnails" in page
        assert f"{own.day} " in page
        assert "Bram Vos" not in page
        assert "wrist" not in page
        classmate = shown(signed_in(cast.classmate), page_of(assignment))
        assert "at least 6 thumbnails" in classmate
        assert "wrist" not in classmate


class TestMovingTheDates:
    def typed(self, assignment: Assignment) -> dict[str, date]:
        dates = dict(assignment.milestones.values_list("kind", "on"))
        return dates | {"given_on": assignment.given_on, "due_on": assignment.due_on}

    def test_a_date_moves(self, assignment: Assignment, cast: School) -> None:
        path, typed = reverse("assignment_dates", args=[assignment.pk]), self.typed(assignment)
        moved = typed["plan_sent"] + timedelta(1)
        page = shown(signed_in(cast.teacher), path, typed | {"plan_sent": moved})
        assert "The dates are kept" in page
        assert assignment.milestones.get(kind="plan_sent").on == moved

    def test_dates_out_of_order_are_said_at_the_field(
        self, assignment: Assignment, cast: School
    ) -> None:
        path, typed = reverse("assignment_dates", args=[assignment.pk]), self.typed(assignment)
        wrong = {"refined": assignment.given_on}
        page = shown(signed_in(cast.teacher), path, typed | wrong)
        assert "This is before “design chosen”" in page
        assert 'href="#id_refined"' in page

    @pytest.mark.parametrize("value", ["", "\0", "0001-01-01", "9999-12-31", "31.13.2026"])
    def test_strange_dates_are_sentences(
        self, assignment: Assignment, cast: School, value: str
    ) -> None:
        path, typed = reverse("assignment_dates", args=[assignment.pk]), self.typed(assignment)
        page = shown(signed_in(cast.teacher), path, typed | {"built": value})
        assert "One thing needs another look" in page


def adjust(cast: School, assignment: Assignment, **typed: Any) -> str:
    path = reverse("adjustment", args=[assignment.pk, cast.student.pk])
    return shown(signed_in(cast.teacher), path, {"private_reason": REASON} | typed)


@pytest.fixture
def criteria(cast: School, assignment: Assignment) -> list[Criterion]:
    signed_in(cast.teacher).get(reverse("adjustment", args=[assignment.pk, cast.student.pk]))
    return list(Criterion.objects.filter(studio=cast.studio))


class TestWhatDiffers:
    def test_counts_dates_and_criteria_are_kept_together(
        self, assignment: Assignment, cast: School, criteria: list[Criterion]
    ) -> None:
        own = today_there() + timedelta(75)
        page = adjust(
            cast,
            assignment,
            least_refinements="0",
            built=own,
            exempt=[criteria[1].pk, criteria[3].pk],
        )
        assert "Kept for Ode Amari" in page
        assert "Differs" in page
        assert REASON not in page
        assert Adjustment.objects.get().least_refinements == 0
        assert OwnDate.objects.get().on == own
        assert {each.criterion.title for each in Exemption.objects.all()} == {
            "silhouette control",
            "rim finish",
        }

    def test_the_page_shows_it_again_and_takes_it_away(
        self, assignment: Assignment, cast: School, criteria: list[Criterion]
    ) -> None:
        adjust(cast, assignment, exempt=[criteria[0].pk])
        client = signed_in(cast.head)
        path = reverse("adjustment", args=[assignment.pk, cast.student.pk])
        page = shown(client, path)
        assert REASON in page
        assert f'value="{criteria[0].pk}" id="id_exempt_0" checked' in page
        page = shown(client, f"{path}drop/", {"x": "y"})
        assert "as for the class again" in page
        assert "Differs" not in page
        assert not Adjustment.objects.exists()
        assert not Exemption.objects.exists()

    def test_nothing_that_differs_is_said(self, assignment: Assignment, cast: School) -> None:
        assert "Nothing differs from the class yet" in adjust(cast, assignment)
        assert not Adjustment.objects.exists()

    @pytest.mark.parametrize(
        ("typed", "says"),
        [
            ({"private_reason": "", "least_thumbnails": "1"}, "This can't stay empty"),
            ({"private_reason": "a\0b", "least_thumbnails": "1"}, "Null characters"),
            ({"least_thumbnails": "9" * 5000}, "not a whole number"),
            ({"least_thumbnails": "51"}, "less than or equal to 50"),
            ({"chosen": "0001-01-01"}, "years away"),
            ({"exempt": "not-a-uuid"}, "UUID"),
            ({"exempt": "00000000-0000-0000-0000-000000000000"}, "not on the list"),
        ],
    )
    def test_what_is_refused_is_said_and_nothing_is_written(
        self, assignment: Assignment, cast: School, typed: dict[str, str], says: str
    ) -> None:
        assert says in adjust(cast, assignment, **typed)
        assert not Adjustment.objects.exists()
        assert not Exemption.objects.exists()

    def test_a_date_that_is_refused_takes_the_exemptions_back_with_it(
        self, assignment: Assignment, cast: School, criteria: list[Criterion]
    ) -> None:
        early = assignment.given_on
        page = adjust(cast, assignment, built=early, exempt=[criteria[0].pk])
        assert "This is before “plan sent”" in page
        assert not Exemption.objects.exists()
        assert not AuditEntry.objects.filter(action__contains="adjusted").exists()

    def test_nobody_else_opens_it(self, assignment: Assignment, cast: School) -> None:
        path = reverse("adjustment", args=[assignment.pk, cast.student.pk])
        for who, status in (
            (cast.other_teacher, 404),
            (cast.technician, 403),
            (cast.student, 403),
            (cast.elsewhere.head, 404),
        ):
            assert signed_in(who).get(path).status_code == status
            assert signed_in(who).post(path, {}).status_code == status

    def test_a_student_of_another_class_is_not_found(
        self, assignment: Assignment, cast: School
    ) -> None:
        path = reverse("adjustment", args=[assignment.pk, cast.other_student.pk])
        assert signed_in(cast.head).get(path).status_code == 404

    def test_no_page_or_line_but_its_own_has_the_reason(
        self, assignment: Assignment, cast: School
    ) -> None:
        adjust(cast, assignment, least_thumbnails="3")
        piece = Piece.objects.get(assignment=assignment, student=cast.student)
        for who in (cast.head, cast.teacher, cast.technician, cast.student):
            client = signed_in(who)
            for path in (
                page_of(assignment),
                reverse("piece", args=[piece.pk]),
                reverse("class", args=[cast.section.pk]),
            ):
                assert "wrist" not in client.get(path, follow=True).content.decode()
        assert "wrist" not in str(list(AuditEntry.objects.values_list("before", "after")))
