"""The page of all prints, and the prints that are made here, as each person gets them."""

from typing import Any
from urllib.parse import urlencode

import pytest
from django.db import connection
from django.http import HttpResponse
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from planning.models import Assignment, Piece, PlanState
from studio.board.selectors.prints import class_prints
from studio.people.models import Section, User
from studio.ware.services import begin_pot
from tests.cast import NOW, TODAY, School, signed_in
from tests.planning.projects import a_brief, given
from tests.planning.work import a_piece, source_forms
from tests.school_size import FAMILY_NAMES, a_school, fill
from tests.studio.paper.measuring import Print
from tests.studio.ware.pots import a_place, a_pot

LETTER_MM, A4_MM = (215.9, 279.4), (210.0, 297.0)  # ANSI/ASME Y14.1 and ISO 216


@pytest.fixture(autouse=True)
def _on_a_wednesday(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOW)


def answer(person: User, name: str, *of: Any, **asked: Any) -> HttpResponse:
    url = f"{reverse(name, args=of)}?{urlencode(asked, doseq=True)}"
    got = signed_in(person).get(url)
    assert isinstance(got, HttpResponse)
    return got


def printed(person: User, name: str, *of: Any, **asked: Any) -> Print:
    got = answer(person, name, *of, **asked)
    assert got.status_code == 200
    assert got["Content-Type"] == "application/pdf", got.content.decode()
    return Print(got.content)


def words(read: Print) -> str:
    return " ".join(read.text(number) for number in range(len(read.sizes_mm)))


def a_full_class(cast: School, students: int = 33) -> Assignment:
    """The cast's two and as many more; a pot for each whose plan is approved."""
    source_forms(cast)
    (assignment,) = given(cast.teacher, cast.section, brief=a_brief(cast.teacher))
    fill(assignment, students)
    begin_pots(cast, assignment)
    return assignment


def begin_pots(cast: School, assignment: Assignment) -> None:
    approved = Piece.objects.filter(
        assignment=assignment, plans__state=PlanState.APPROVED, pots__isnull=True
    )
    for piece in approved.distinct():
        begin_pot(piece=piece, by=cast.teacher, at=NOW)


def page(person: User, **asked: str) -> str:
    return answer(person, "prints", **asked).content.decode()


def test_every_print_of_a_class_is_on_one_page(cast: School) -> None:
    a_piece(cast)
    html = page(cast.teacher)
    for label in (
        "Substitute&#x27;s sheet",
        "Cover list",
        "Sign-in cards",
        "Clay to issue",
        "Base labels",
        "Shelf labels",
        "Mark sheet",
        "Student reports",
        "Kiln schedule, this week",
        "From Monday 9 March 2026: firings",
        "From Monday 23 March 2026: firings",
    ):
        assert label in html
    assert "Meets today." in html


def test_a_technician_gets_no_marks_and_no_passwords(cast: School) -> None:
    a_piece(cast)
    html = page(cast.technician)
    assert "Period 3" in html
    assert "Period 5" in html
    for label in ("Sign-in cards", "Mark sheet", "Student reports"):
        assert label not in html


def test_a_teacher_finds_their_own_classes_only(cast: School) -> None:
    html = page(cast.other_teacher)
    assert "Period 5" in html
    assert "Period 3" not in html
    assert "Next lesson: tomorrow." in html


def test_the_class_that_meets_soonest_comes_first_and_one_that_is_over_not_at_all(
    cast: School,
) -> None:
    Section.objects.create(studio=cast.studio, title="A class without dates")
    Section.objects.create(studio=cast.studio, title="Over", archived=True)
    rows = class_prints(cast.head, today=TODAY, paper="a4")
    assert [row.section.title for row in rows] == ["Period 3", "Period 5", "A class without dates"]
    assert "No further lesson is in the calendar." in page(cast.head)


def test_the_paper_is_the_studios_until_another_one_is_asked_for(cast: School) -> None:
    assert "?paper=a4" in page(cast.teacher)
    html = page(cast.teacher, paper="letter")
    assert reverse("cover_list_pdf", args=[cast.section.pk]) + "?paper=letter" in html
    assert reverse("sign_in_cards", args=[cast.section.pk]) + '"' in html


@pytest.mark.parametrize(("asked", "size"), [({}, A4_MM), ({"paper": "letter"}, LETTER_MM)])
def test_each_print_comes_on_either_paper(
    cast: School, asked: dict[str, str], size: tuple[float, float]
) -> None:
    pot = a_pot(cast)
    a_place(cast)
    class_ = {"which": "class", "paper": "a4"} | asked
    for read in (
        printed(cast.teacher, "shelf_labels_pdf", **asked),
        printed(cast.teacher, "cover_list_pdf", cast.section.pk, **asked),
        printed(cast.teacher, "substitute_pdf", cast.section.pk, **asked),
        printed(cast.teacher, "base_labels_pdf", pot.piece.assignment_id, **class_),
    ):
        assert read.sizes_mm[0] == pytest.approx(size, abs=0.2)


def test_wall_prints_of_35_students_hold_first_names_and_initials_only(cast: School) -> None:
    assignment = a_full_class(cast)
    family_names = {*FAMILY_NAMES, "Amari", "Vos"}
    for read in (
        printed(cast.teacher, "cover_list_pdf", cast.section.pk),
        printed(cast.teacher, "substitute_pdf", cast.section.pk),
        printed(cast.teacher, "base_labels_pdf", assignment.pk, which="class", paper="a4"),
    ):
        text = words(read)
        assert not {name for name in family_names if name in text}


def test_the_substitutes_sheet_of_35_students_names_each_piece(cast: School) -> None:
    assignment = a_full_class(cast)
    read = printed(cast.technician, "substitute_pdf", cast.section.pk, paper="letter")
    text = words(read)
    assert len(read.sizes_mm) == 2
    codes = Piece.objects.filter(assignment=assignment).values_list("code", flat=True)
    assert len(codes) == 35
    assert all(code in text for code in codes)


def test_base_labels_are_for_the_class_the_approved_or_the_ticked(cast: School) -> None:
    assignment = a_full_class(cast)
    pieces = list(Piece.objects.filter(assignment=assignment))
    approved = {p.code for p in pieces if p.plans.filter(state=PlanState.APPROVED).exists()}
    assert 0 < len(approved) < 35

    def codes(**asked: Any) -> set[str]:
        read = printed(cast.teacher, "base_labels_pdf", assignment.pk, paper="a4", **asked)
        return {piece.code for piece in pieces if piece.code in words(read)}

    assert len(codes(which="class")) == 35
    assert codes(which="approved") == approved
    two = [str(piece.pk) for piece in pieces[:2]]
    assert codes(which="ticked", pieces=two) == {piece.code for piece in pieces[:2]}


def test_ticking_nobody_or_having_no_plan_is_said_at_its_field(cast: School) -> None:
    piece = a_piece(cast)

    def said(**asked: str) -> str:
        got = answer(cast.teacher, "base_labels_pdf", piece.assignment_id, **asked)
        return got.content.decode()

    assert "Tick at least one student, or choose the whole class." in said(
        which="ticked", paper="a4"
    )
    assert "No plan is approved yet. Choose the whole class, or tick students." in said(
        which="approved", paper="a4"
    )
    strange = said(which="ticked", pieces=str(cast.section.pk), paper="a4")
    assert "is not on the list" in strange
    assert "Tick at least one student" not in strange
    assert "This can&#x27;t stay empty." in said()


def test_a_project_without_pieces_says_where_they_come_from(cast: School) -> None:
    piece = a_piece(cast)
    Piece.objects.all().delete()
    html = answer(
        cast.teacher, "base_labels_pdf", piece.assignment_id, which="class", paper="a4"
    ).content.decode()
    assert "Nobody in this class has a piece yet, so there is nothing to label." in html


def test_a_studio_without_places_reads_what_to_do(cast: School) -> None:
    read = printed(cast.technician, "shelf_labels_pdf")
    assert "There is no place yet. Add the shelves, carts and cupboards first." in read.text()


def test_the_label_of_one_place_is_printed_alone(cast: School) -> None:
    a_place(cast, "Shelf 1")
    cart = a_place(cast, "Cart 2")
    text = printed(cast.teacher, "shelf_labels_pdf", place=cart.pk).text()
    assert "Cart 2" in text
    assert "Shelf 1" not in text
    assert answer(cast.teacher, "shelf_labels_pdf", place="x").status_code == 404
    elsewhere = cast.elsewhere.teacher
    assert answer(elsewhere, "shelf_labels_pdf", place=cart.pk).status_code == 404


def test_places_lead_staff_to_their_labels(cast: School) -> None:
    cart = a_place(cast, "Cart 2")
    label = f'href="{reverse("shelf_labels_pdf")}?place={cart.pk}"'
    for pages in (("places",), ("place", cart.pk)):
        assert label in answer(cast.technician, *pages).content.decode()
    assert label not in answer(cast.student, "place", cart.pk).content.decode()


@pytest.mark.parametrize("name", ["cover_list_pdf", "substitute_pdf"])
def test_a_class_of_another_studio_or_teacher_is_not_found(cast: School, name: str) -> None:
    for stranger in (cast.elsewhere.head, cast.elsewhere.technician, cast.other_teacher):
        assert answer(stranger, name, cast.section.pk).status_code == 404
    assert answer(cast.student, name, cast.section.pk).status_code == 403


def counted(person: User, name: str, *of: Any, **asked: Any) -> int:
    client, url = signed_in(person), f"{reverse(name, args=of)}?{urlencode(asked)}"
    client.get(url)
    with CaptureQueriesContext(connection) as captured:
        assert client.get(url).status_code == 200
    return len(captured)


def test_prints_make_as_few_queries_for_many_pots_as_for_few(cast: School) -> None:
    assignment = a_full_class(cast, 10)

    def all_counts() -> list[int]:
        return [
            counted(cast.teacher, "prints"),
            counted(cast.teacher, "shelf_labels_pdf"),
            counted(cast.teacher, "cover_list_pdf", cast.section.pk),
            counted(cast.teacher, "substitute_pdf", cast.section.pk),
            counted(cast.teacher, "base_labels", assignment.pk),
            counted(cast.teacher, "base_labels_pdf", assignment.pk, which="class", paper="letter"),
        ]

    a_place(cast, "Shelf 1")
    few = all_counts()
    fill(assignment, 60)
    begin_pots(cast, assignment)
    a_school(assignment, classes=4, students=10)
    a_place(cast, "Shelf 2")
    assert all_counts() == few
    assert max(few) <= 15
