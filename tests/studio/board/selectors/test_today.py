"""What Today says of scanned pages that wait for a hand, and to whom."""

import pytest
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from planning.models import Assignment, Scan, ScanPage
from planning.services.scan_pages import put_page_away
from studio.board.selectors.today import class_rows
from studio.people.models import Section, User
from tests.cast import NOW, TODAY, School, signed_in
from tests.planning.projects import a_brief, given

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]
AWAY, SHEET, WAITING = ScanPage.State.AWAY, ScanPage.State.SHEET, ScanPage.State.WAITING


def a_scan(
    assignment: Assignment, by: User, *pages: ScanPage.State, state: str = Scan.State.READ
) -> Scan:
    """With a page of each of these states."""
    number = Scan.objects.count()
    scan = Scan.objects.create(
        assignment=assignment,
        by=by,
        created_at=NOW,
        state=state,
        refusal_code="gave_up" if state == Scan.State.REFUSED else "",
        original_sha256=f"{number:064}",
        stem=f"stem-{number}",
        pages=len(pages),
    )
    for at, each in enumerate(pages, start=1):
        scan.read_pages.create(number=at, state=each, why=ScanPage.Why.NO_CODE)
    return scan


@pytest.fixture
def assignment(cast: School) -> Assignment:
    return given(cast.teacher, cast.section)[0]


def told(person: User) -> list[tuple[str, str, int]]:
    answer = signed_in(person).get(reverse("today"))
    return [
        (row.section.title, each.assignment.title, each.pages)
        for row in answer.context["scanned"]
        for each in row.scanned
    ]


def test_pages_that_wait_are_counted_over_the_scans_of_a_class(
    cast: School, assignment: Assignment
) -> None:
    a_scan(assignment, cast.teacher, WAITING, SHEET, WAITING, AWAY)
    a_scan(assignment, cast.teacher, WAITING, SHEET, state=Scan.State.REFUSED)
    assert told(cast.teacher) == [("Period 3", "Something that grew", 3)]


def test_a_scan_that_is_being_read_and_one_that_is_sorted_ask_for_nothing(
    cast: School, assignment: Assignment
) -> None:
    a_scan(assignment, cast.teacher, WAITING, state=Scan.State.RECEIVED)
    a_scan(assignment, cast.teacher, SHEET, AWAY)
    assert told(cast.teacher) == []


def test_who_does_not_teach_the_class_is_told_nothing(cast: School, assignment: Assignment) -> None:
    a_scan(assignment, cast.teacher, WAITING)
    for person in (cast.other_teacher, cast.technician, cast.elsewhere.teacher):
        text = signed_in(person).get(reverse("today")).content.decode()
        assert "Scanned pages that wait" not in text


def test_a_closed_class_rests(cast: School, assignment: Assignment) -> None:
    a_scan(assignment, cast.teacher, WAITING)
    cast.section.archived = True
    cast.section.save()
    assert told(cast.teacher) == []


def test_today_leads_to_the_scans_and_is_silent_once_nothing_waits(
    cast: School, assignment: Assignment
) -> None:
    scan = a_scan(assignment, cast.teacher, WAITING, WAITING)
    teacher = signed_in(cast.teacher)
    text = teacher.get(reverse("today")).content.decode()
    assert "Scanned pages that wait for you" in text
    assert f'href="{reverse("scans", args=[assignment.pk])}#scans">Period 3</a>' in text
    assert "<span>2 pages</span>" in text
    for page in scan.read_pages.all():
        put_page_away(page=page, by=cast.teacher)
    assert "Scanned pages" not in teacher.get(reverse("today")).content.decode()


def test_it_takes_no_query_of_its_own_however_many_wait(
    cast: School, assignment: Assignment, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    classes = Section.objects.visible_to(cast.teacher)
    others = given(cast.teacher, cast.section, brief=a_brief(cast.teacher, "A second one"))
    for each in (assignment, *others):
        for _ in range(3):
            a_scan(each, cast.teacher, *[WAITING] * 5)
    with django_assert_num_queries(2):
        (row,) = class_rows(classes, today=TODAY)
    assert [each.pages for each in row.scanned] == [15, 15]
