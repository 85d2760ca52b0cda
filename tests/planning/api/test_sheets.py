"""A sheet over the API: sent, listed, and taken with what its drawings grew from."""

import pytest
from django.test import Client
from pytest_django import Settings

from planning.models import SourceForm, Thumbnail
from planning.services.source_forms import add_source_form
from tests.cast import School, signed_in
from tests.planning.sheet_photos import BOXES, file_of, photographed, proposed, sent
from tests.planning.work import a_piece

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def queued(settings: Settings) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


@pytest.fixture
def student(cast: School) -> Client:
    return signed_in(cast.student)


def test_a_sheet_is_sent_and_listed(cast: School, student: Client) -> None:
    piece = a_piece(cast)
    address = f"/api/pieces/{piece.pk}/sheets/"
    answer = student.post(address, {"sheet": file_of(photographed())})
    assert answer.status_code == 201
    assert (answer.json()["state"], answer.json()["boxes"]) == ("reading", None)
    again = student.post(address, {"sheet": file_of(photographed())})
    assert (again.status_code, again.json()["detail"]) == (422, "This photo is here already.")
    proposed(piece.sheets.get())
    for person in (cast.student, cast.teacher):
        [row] = signed_in(person).get(address).json()["results"]
        assert (row["state"], row["boxes"], row["edition"]) == ("proposed", BOXES, 1)
        assert (row["width"], row["height"]) == (600, 800)


def test_it_is_taken_with_what_its_drawings_grew_from(cast: School, student: Client) -> None:
    piece = a_piece(cast)
    sheet, seen = proposed(sent(piece)), SourceForm.objects.filter(studio=cast.studio)[0]
    foreign = add_source_form(studio=cast.elsewhere.studio, by=cast.elsewhere.head, name="whelk")
    address = f"/api/sheets/{sheet.pk}/take/"
    wrong = {"edition": 1, "source_form": str(foreign.pk)}
    assert student.post(address, wrong, content_type="application/json").status_code == 400
    late = student.post(address, {"edition": 0}, content_type="application/json")
    assert late.status_code == 409
    assert Thumbnail.objects.count() == 0
    right = {"edition": 1, "source_form": str(seen.pk)}
    for _ in range(2):
        rows = student.post(address, right, content_type="application/json").json()
        assert [row["position"] for row in rows] == [1, 2, 3, 4]
        assert {row["source_form"] for row in rows} == {str(seen.pk)}
    assert Thumbnail.objects.count() == 4


def test_only_its_student_takes_it(cast: School) -> None:
    sheet = proposed(sent(a_piece(cast)))
    for person in (cast.classmate, cast.teacher):
        address = f"/api/sheets/{sheet.pk}/take/"
        answer = signed_in(person).post(address, {"edition": 1}, content_type="application/json")
        assert answer.status_code == 404
