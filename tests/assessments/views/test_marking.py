"""The pages of marks: what is typed is never lost, and nobody reads a mark before its release."""

import csv
import io
import zipfile
from typing import Any

import pypdfium2
import pytest
from django.test import Client

from assessments.models import AssignmentRubric, Marking, Result, Rubric
from assessments.services.releasing import release
from planning.models import Piece
from studio.people.models import User
from studio.ware.services import lose_pots
from tests.assessments.work import criteria, mark, marks, released, the_rubric
from tests.cast import NOW, School, signed_in
from tests.markup import forms_in
from tests.planning.work import a_piece
from tests.studio.ware.pots import a_pot

pytestmark = pytest.mark.django_db
SECRET = "A comment that nobody else may read"


@pytest.fixture
def piece(cast: School) -> Piece:
    the_rubric(cast.studio)
    return a_piece(cast)


def address(piece: Piece, rest: str = "") -> str:
    return f"/marking/pieces/{piece.pk}/{rest}"


def typed(piece: Piece, digits: str, **changed: Any) -> dict[str, Any]:
    """The form with a level for each digit; 0 leaves a criterion open."""
    data = {"edition": "0", "beside": "", "comment": "A quiet line."}
    for each, digit in zip(criteria(the_rubric(piece.studio)), digits, strict=True):
        chosen = str(each.levels[int(digit) - 1].pk) if digit != "0" else ""
        data |= {f"level-{each.pk}": chosen, f"note-{each.pk}": ""}
    return data | changed


def text_of(response: Any) -> str:
    return str(response.content.decode())


class TestMarkingPage:
    def test_keep_and_next_goes_on_through_the_class(self, cast: School, piece: Piece) -> None:
        client = signed_in(cast.teacher)
        other = Piece.objects.get(assignment=piece.assignment, student=cast.classmate)
        answer = client.post(address(piece), typed(piece, "4321", next="1"))
        assert answer.headers["Location"] == address(other)
        answer = client.post(address(other), typed(piece, "4321", next="1"), follow=True)
        assert answer.redirect_chain[-1][0] == f"/marking/{piece.assignment_id}/"
        assert "That was the last pot of the class." in text_of(answer)
        assert Marking.objects.count() == 2

    def test_keep_stays_and_shows_the_score(self, cast: School, piece: Piece) -> None:
        client = signed_in(cast.teacher)
        page = client.post(address(piece), typed(piece, "4320", stay="1"), follow=True)
        assert "1 criterion open" in text_of(page)
        again = typed(piece, "4321", edition="1")
        assert "10 of 16" in text_of(client.post(address(piece), again, follow=True))

    def test_a_second_tap_reads_the_first_answer(self, cast: School, piece: Piece) -> None:
        client = signed_in(cast.teacher)
        for _again in range(2):
            answer = client.post(address(piece), typed(piece, "4321", once="k", stay="1"))
            assert answer.status_code == 302
        assert Marking.objects.get().edition == 1

    def test_a_conflict_shows_what_was_typed_beside_what_was_kept(
        self, cast: School, piece: Piece
    ) -> None:
        mark(piece, cast.teacher, "1", "2", "3", "4", comment="Kept in the other window.")
        client = signed_in(cast.teacher)
        answer = client.post(address(piece), typed(piece, "4234", once="k", stay="1"))
        page = text_of(answer)
        assert answer.status_code == 409
        assert "This marking was changed at 10:30, perhaps in another window." in page
        assert "A quiet line." in page
        assert "Kept meanwhile: Kept in the other window." in page
        first = criteria(the_rubric(cast.studio))[0]
        assert f"Kept meanwhile: {first.levels[0].descriptor}" in page
        [form] = [each for each in forms_in(page) if "comment" in each.names]
        sent = {name: values[-1] for name, values in form.filled().items() if values}
        assert sent["edition"] == "1"
        assert sent[f"level-{first.pk}"] == str(first.levels[3].pk)
        assert client.post(address(piece), sent).status_code == 302
        own = marks(piece).own(cast.teacher)
        assert own is not None
        assert own.comment == "A quiet line."

    def test_a_second_marker_is_told_and_may_go_on(self, cast: School, piece: Piece) -> None:
        mark(piece, cast.teacher, comment=SECRET)
        client = signed_in(cast.head)
        answer = client.post(address(piece), typed(piece, "4321"))
        page = text_of(answer)
        assert answer.status_code == 409
        assert "Tomas Lindqvist has begun to mark this pot" in page
        assert SECRET not in page  # each on their own
        again = typed(piece, "4321", beside=str(cast.teacher.pk))
        assert client.post(address(piece), again).status_code == 302

    def test_the_class_s_list_names_only_those_who_marked(self, cast: School, piece: Piece) -> None:
        mark(piece, cast.head)
        mark(piece, cast.teacher, None, comment="", beside=[cast.head.pk])  # left empty
        page = text_of(signed_in(cast.teacher).get(f"/marking/{piece.assignment_id}/"))
        assert "<td>Ines Halloran</td>" in page

    def test_a_field_says_what_is_wrong_with_it(self, cast: School, piece: Piece) -> None:
        name = f"level-{criteria(the_rubric(cast.studio))[0].pk}"
        wrong = typed(piece, "4321") | {name: "hello", "beside": "somebody"}
        page = text_of(signed_in(cast.teacher).post(address(piece), wrong))
        assert "is not on the list" in page
        assert "Load the page again." in page
        assert not Marking.objects.exists()

    def test_a_studio_without_a_rubric_begins_with_the_shipped_one(self, cast: School) -> None:
        piece = a_piece(cast)
        client = signed_in(cast.teacher)
        assert "Begin with the shipped rubric" in text_of(client.get(address(piece)))
        assert not Rubric.objects.exists()
        client.post(f"/assignments/{piece.assignment_id}/rubric/")
        assert "Exploration before commitment" in text_of(client.get(address(piece)))

    def test_a_broken_pot_is_marked_from_its_photos_and_says_so(self, cast: School) -> None:
        the_rubric(cast.studio)
        pot = a_pot(cast)
        lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=NOW, cause="kiln")
        page = text_of(signed_in(cast.teacher).get(address(pot.piece)))
        assert f"Pot {pot.code} is broken since" in page
        main = page[page.index("<main") : page.index("</main>")]
        assert "kiln" not in main.lower()


class TestDraft:
    def test_it_answers_with_the_edition_that_it_kept(self, cast: School, piece: Piece) -> None:
        client = signed_in(cast.teacher)
        answer = client.post(address(piece, "draft/"), typed(piece, "4000"))
        assert answer.json()["edition"] == 1
        answer = client.post(address(piece, "draft/"), typed(piece, "4300", edition="1"))
        assert answer.json()["edition"] == 2
        assert answer.json()["message"].startswith("Kept at ")

    def test_another_window_reads_a_sentence(self, cast: School, piece: Piece) -> None:
        mark(piece, cast.teacher)
        answer = signed_in(cast.teacher).post(
            address(piece, "draft/"),
            typed(piece, "4000"),
            headers={"X-Requested-With": "fetch"},
        )
        assert answer.status_code == 409
        assert "perhaps in another window" in answer.json()["message"]

    def test_what_can_t_be_read_is_said(self, cast: School, piece: Piece) -> None:
        answer = signed_in(cast.teacher).post(
            address(piece, "draft/"), typed(piece, "4000", comment="x" * 4001)
        )
        assert answer.status_code == 422
        assert "4000" in answer.json()["message"]


class TestRelease:
    def test_ticked_pots_are_released(self, cast: School, piece: Piece) -> None:
        mark(piece, cast.teacher)
        where = f"/marking/{piece.assignment_id}/release/"
        client = signed_in(cast.teacher)
        assert "Tick at least one pot." in text_of(client.post(where, {"with_open": ""}))
        page = client.post(where, {"pieces": [str(piece.pk)]}, follow=True)
        assert "1 pot is released." in text_of(page)
        assert "Nothing waits to be released" in text_of(client.get(where))

    def test_a_second_tap_reads_the_first_answer(self, cast: School, piece: Piece) -> None:
        mark(piece, cast.teacher)
        client = signed_in(cast.teacher)
        where = f"/marking/{piece.assignment_id}/release/"
        for _again in range(2):
            answer = client.post(where, {"pieces": [str(piece.pk)], "once": "k"})
            assert answer.status_code == 302
        assert Result.objects.count() == 1

    def test_whoever_comes_second_reads_that_it_is_released(
        self, cast: School, piece: Piece
    ) -> None:
        released(piece, cast.head)
        sent = {"pieces": [str(piece.pk)]}
        where = f"/marking/{piece.assignment_id}/release/"
        page = text_of(signed_in(cast.teacher).post(where, sent))
        assert "is released already; mark it again with a reason" in page

    def test_open_and_doubly_marked_pots_are_asked_about(self, cast: School, piece: Piece) -> None:
        cast.section.teachers.add(cast.other_teacher)
        mark(piece, cast.head, "4")
        second = mark(piece, cast.other_teacher, "2", beside=[cast.head.pk])
        where = f"/marking/{piece.assignment_id}/release/"
        client = signed_in(cast.teacher)
        sent: dict[str, Any] = {"pieces": [str(piece.pk)]}
        assert "choose whose marks count" in text_of(client.post(where, sent))
        sent[f"marking-{piece.pk}"] = str(second.pk)
        assert "has 3 open criteria" in text_of(client.post(where, sent))
        assert client.post(where, sent | {"with_open": "on"}).status_code == 302
        assert Result.objects.get().marking == second

    def test_a_re_mark_asks_for_its_reason(self, cast: School, piece: Piece) -> None:
        released(piece, cast.teacher)
        mark(piece, cast.teacher, "4", "4", "4", "4", edition=1)
        client = signed_in(cast.teacher)
        where = f"/pieces/{piece.pk}/result/"
        assert "stay empty" in text_of(client.post(f"{where}again/", {"number": "1"}))
        stale = {"number": "9", "reason": "Another look"}
        assert "released this pot again meanwhile" in text_of(client.post(f"{where}again/", stale))
        page = client.post(
            f"{where}again/", {"number": "1", "reason": "Drawings found"}, follow=True
        )
        assert "Marked again: Drawings found" in text_of(page)
        assert "Result 1, released" in text_of(page)
        student = text_of(signed_in(cast.student).get(where))
        assert "16 of 16" in student
        assert "Result 1" not in student


PLACES = (
    "/pieces/{piece}/",
    "/pieces/{piece}/result/",
    "/pieces/{piece}/report/",
    "/assignments/{assignment}/",
    "/assignments/{assignment}/rubric/",
    "/pieces/",
    "/api/results/",
    "/api/pieces/",
    "/api/pieces/{piece}/",
    "/api/pieces/{piece}/results/",
    "/api/pieces/{piece}/markings/",
    "/marking/pieces/{piece}/",
    "/marking/{assignment}/",
    "/marking/{assignment}/marks.csv",
    "/marking/{assignment}/results.zip",
    "/marking/{assignment}/sheet/",
    "/marking/{assignment}/reports/",
)


def leaks(person: User, piece: Piece) -> list[str]:
    """Addresses at which the person reads of the piece's marks."""
    client: Client = signed_in(person)
    found = []
    for place in PLACES:
        where = place.format(piece=piece.pk, assignment=piece.assignment_id)
        response = client.get(where)
        content = response.content
        if response.headers.get("Content-Type") == "application/pdf":
            pages = pypdfium2.PdfDocument(content)
            content = "".join(page.get_textpage().get_text_range() for page in pages).encode()
        if SECRET.encode() in content or b"13 of 16" in content:
            found.append(place)
    return found


@pytest.mark.parametrize("who", ["student", "classmate", "technician", "other_teacher"])
def test_nobody_reads_a_mark_before_its_release(cast: School, piece: Piece, who: str) -> None:
    mark(piece, cast.teacher, "4", "3", "3", "3", comment=SECRET)
    assert leaks(getattr(cast, who), piece) == []


def test_after_its_release_only_its_student_and_teachers_read_it(
    cast: School, piece: Piece
) -> None:
    mark(piece, cast.teacher, "4", "3", "3", "3", comment=SECRET)
    release(pieces=[piece], by=cast.teacher, at=NOW)
    assert leaks(cast.student, piece) == [
        "/pieces/{piece}/result/",
        "/pieces/{piece}/report/",
        "/api/results/",
        "/api/pieces/{piece}/results/",
    ]
    for who in ("classmate", "technician", "other_teacher", "other_student"):
        assert leaks(getattr(cast, who), piece) == []


def test_the_student_s_piece_leads_to_the_result_once_it_is_there(
    cast: School, piece: Piece
) -> None:
    client = signed_in(cast.student)
    mark(piece, cast.teacher)
    assert "Your marks are there" not in text_of(client.get(f"/pieces/{piece.pk}/"))
    assert client.get(f"/pieces/{piece.pk}/result/").status_code == 404
    release(pieces=[piece], by=cast.teacher, at=NOW)
    page = text_of(client.get(f"/pieces/{piece.pk}/"))
    assert "Your marks are there" in page
    assert "What was seen in your pot" in page.split("Look back")[1]


def test_files_and_prints_of_a_class(cast: School, piece: Piece) -> None:
    client = signed_in(cast.teacher)
    where = f"/marking/{piece.assignment_id}/"
    nothing = client.get(f"{where}reports/")
    assert (nothing.status_code, "Nothing of this class is released" in text_of(nothing)) == (
        422,
        True,
    )
    released(piece, cast.teacher, comment=SECRET)
    table = client.get(f"{where}marks.csv")
    assert "no-store" in table.headers["Cache-Control"]
    rows = list(csv.reader(io.StringIO(table.content.decode("utf-8-sig"))))
    assert [row[0] for row in rows] == ["Family name", "Amari", "Vos"]
    unknown = client.get(f"{where}results.zip")
    assert "roster doesn't know this class" in text_of(unknown).replace("&#x27;", "'")
    section = piece.assignment.section
    section.sourced_id = "P3"
    section.save()
    long = client.get(f"{where}results.zip?grading_period={'Q' * 256}")
    assert (long.status_code, "255" in text_of(long)) == (422, True)
    # A link made by somebody else must not put a formula into the file (OWASP, CSV injection).
    formula = client.get(f"{where}results.zip", {"grading_period": "=HYPERLINK(1)"})
    assert (formula.status_code, "begin with “=”" in text_of(formula)) == (422, True)
    bundle = client.get(f"{where}results.zip?grading_period=Q3").content
    item = zipfile.ZipFile(io.BytesIO(bundle)).read("lineItems.csv").decode()
    assert ",P3," in item
    assert ",Q3," in item
    page = text_of(client.get(where))
    assert "Left out" in page
    assert "Ode Amari, Bram Vos." in page
    for name in ("sheet", "reports"):
        assert client.get(f"{where}{name}/?paper=letter").content.startswith(b"%PDF")


def test_a_class_s_rubric_is_chosen_on_its_page(cast: School, piece: Piece) -> None:
    where = f"/assignments/{piece.assignment_id}/rubric/"
    client = signed_in(cast.teacher)
    wrong = client.post(where, {"version": "x"})
    assert wrong.status_code == 200
    version = the_rubric(cast.studio)
    page = client.post(where, {"version": str(version.pk)}, follow=True)
    assert "This class is marked by this rubric now." in text_of(page)
    assert AssignmentRubric.objects.get().version == version
    mark(piece, cast.teacher)
    own = Rubric.objects.create(studio=cast.studio, title="Own", created_at=NOW, by=cast.teacher)
    other = own.versions.create(number=1, at=NOW)
    refused = text_of(client.post(where, {"version": str(other.pk)}))
    assert "Pots of this class are marked already." in refused
    assert signed_in(cast.student).post(where, {"version": str(version.pk)}).status_code == 403
