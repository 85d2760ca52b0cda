"""Rubrics, markings and results over the API: the same sentences as the pages, and no leak."""

from typing import Any

import pytest
from django.test import Client

from assessments.models import Marking, Result
from planning.models import Piece
from tests.assessments.work import criteria, mark, released, the_rubric
from tests.cast import School, signed_in
from tests.planning.work import a_piece

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def piece(cast: School) -> Piece:
    return a_piece(cast)


def sent(client: Client, verb: str, address: str, body: Any) -> Any:
    return getattr(client, verb)(f"/api{address}", body, content_type="application/json")


def rubric(**changed: Any) -> dict[str, Any]:
    level = {"points": 1, "descriptor": "The foot holds."}
    better = {"points": 2.5, "descriptor": "The foot lifts the pot."}
    foot = {"title": "foot", "weight": 1.5, "evidence": "rim", "levels": [level, better]}
    return {"title": "Feet", "criteria": [foot]} | changed


class TestRubrics:
    def test_one_is_written_read_and_changed(self, cast: School) -> None:
        client = signed_in(cast.teacher)
        made = sent(client, "post", "/rubrics/", rubric())
        assert made.status_code == 201
        version = made.json()
        [foot] = version["criteria"]
        assert (foot["title"], foot["weight"], foot["evidence"]) == ("foot", 1.5, "rim")
        assert [each["points"] for each in foot["levels"]] == [1.0, 2.5]
        address = f"/rubrics/{version['rubric']}/"
        changed = rubric(title="Feet and rims", seen=version["id"])
        assert sent(client, "put", address, changed).status_code == 200
        listed = client.get("/api/rubrics/").json()["results"]
        assert [each["title"] for each in listed] == ["Feet and rims"]
        versions = client.get(f"/api{address}versions/").json()["results"]
        assert [each["number"] for each in versions] == [1]
        assert client.get(f"/api{address}").json()["criteria"] == versions[0]["criteria"]

    def test_whoever_changed_it_first_wins(self, cast: School) -> None:
        client = signed_in(cast.teacher)
        version = sent(client, "post", "/rubrics/", rubric()).json()
        address = f"/rubrics/{version['rubric']}/"
        other = rubric()
        other["criteria"][0]["title"] = "rim"
        assert sent(client, "put", address, other | {"seen": version["id"]}).status_code == 200
        again = sent(client, "put", address, rubric(seen=version["id"]))
        assert again.status_code == 409
        assert "changed this rubric meanwhile" in again.json()["detail"]

    def test_a_reason_stands_at_its_field(self, cast: School) -> None:
        wrong = rubric()
        wrong["criteria"][0]["levels"][1]["points"] = 1
        answer = sent(signed_in(cast.teacher), "post", "/rubrics/", wrong)
        assert answer.status_code == 422
        fields = [each["field"] for each in answer.json()["errors"]]
        assert fields == ["criteria.0.levels.0.points", "criteria.0.levels.1.points"]

    def test_a_class_s_students_read_what_they_are_judged_by(
        self, cast: School, piece: Piece
    ) -> None:
        address = f"/assignments/{piece.assignment_id}/rubric/"
        none = signed_in(cast.student).get(f"/api{address}")
        assert (none.status_code, "no rubric yet" in none.json()["detail"]) == (422, True)
        shipped = the_rubric(cast.studio)
        read = signed_in(cast.student).get(f"/api{address}").json()
        assert read["id"] == str(shipped.pk)
        own = sent(signed_in(cast.teacher), "post", "/rubrics/", rubric()).json()
        chosen = sent(signed_in(cast.teacher), "put", address, {"version": own["id"]})
        assert chosen.json()["id"] == own["id"]


def marking(piece: Piece, place: int = 3, **changed: Any) -> dict[str, Any]:
    """Every criterion at the level of this place."""
    rows = [
        {"criterion": str(each.pk), "level": str(each.levels[place].pk), "note": ""}
        for each in criteria(the_rubric(piece.studio))
    ]
    return {"criteria": rows, "comment": "A quiet line.", "edition": 0} | changed


class TestMarking:
    def test_a_marking_is_kept_and_read(self, cast: School, piece: Piece) -> None:
        client = signed_in(cast.teacher)
        answer = sent(client, "put", f"/pieces/{piece.pk}/marking/", marking(piece))
        assert answer.status_code == 200
        own = answer.json()
        assert (own["total"], own["most"], own["open"], own["edition"]) == (16.0, 16.0, 0, 1)
        listed = client.get(f"/api/pieces/{piece.pk}/markings/").json()["results"]
        assert listed == [own]

    def test_a_stale_edition_is_a_conflict(self, cast: School, piece: Piece) -> None:
        mark(piece, cast.teacher)
        address = f"/pieces/{piece.pk}/marking/"
        answer = sent(signed_in(cast.teacher), "put", address, marking(piece))
        assert (answer.status_code, Marking.objects.get().edition) == (409, 1)
        assert "was changed at" in answer.json()["detail"]

    def test_the_same_key_twice_keeps_once(self, cast: School, piece: Piece) -> None:
        client = signed_in(cast.teacher)
        for _again in range(2):
            answer = client.put(
                f"/api/pieces/{piece.pk}/marking/",
                marking(piece),
                content_type="application/json",
                headers={"Idempotency-Key": "one"},
            )
            assert answer.json()["edition"] == 1


class TestReleasing:
    def test_pieces_are_released_and_their_student_reads_it(
        self, cast: School, piece: Piece
    ) -> None:
        mark(piece, cast.teacher)
        teacher, student = signed_in(cast.teacher), signed_in(cast.student)
        address = f"/assignments/{piece.assignment_id}/release/"
        assert student.get("/api/results/").json()["results"] == []
        answer = sent(teacher, "post", address, {"pieces": [str(piece.pk)]})
        assert answer.status_code == 201
        [own] = student.get("/api/results/").json()["results"]
        assert (own["score"], own["comment"], own["number"]) == (12.0, "It stands well.", 1)
        assert own["levels"][0]["points"] == "3.00"
        again = sent(teacher, "post", address, {"pieces": [str(piece.pk)]})
        assert (again.status_code, Result.objects.count()) == (409, 1)

    def test_open_criteria_are_asked_about(self, cast: School, piece: Piece) -> None:
        mark(piece, cast.teacher, "4")
        body = {"pieces": [str(piece.pk)]}
        address = f"/assignments/{piece.assignment_id}/release/"
        client = signed_in(cast.teacher)
        asked = sent(client, "post", address, body)
        assert (asked.status_code, asked.json()["errors"][0]["field"]) == (422, "pieces")
        [made] = sent(client, "post", address, body | {"with_open": True}).json()
        assert made["score"] is None

    def test_another_class_s_piece_is_refused(self, cast: School, piece: Piece) -> None:
        mark(piece, cast.teacher)
        body = {"pieces": [str(piece.pk), str(cast.student.pk)]}
        address = f"/assignments/{piece.assignment_id}/release/"
        answer = sent(signed_in(cast.teacher), "post", address, body)
        assert "pieces of this assignment" in answer.json()["detail"]

    def test_a_re_mark_leaves_the_student_the_result_that_holds(
        self, cast: School, piece: Piece
    ) -> None:
        released(piece, cast.teacher)
        mark(piece, cast.teacher, "4", "4", "4", "4", edition=1)
        address = f"/pieces/{piece.pk}/results/"
        body = {"number": 1, "reason": "Drawings were found."}
        answer = sent(signed_in(cast.teacher), "post", address, body)
        assert (answer.status_code, answer.json()["number"]) == (201, 2)
        numbers = {
            who: [
                each["number"]
                for each in signed_in(getattr(cast, who)).get(f"/api{address}").json()["results"]
            ]
            for who in ("teacher", "student")
        }
        assert numbers == {"teacher": [2, 1], "student": [2]}

    def test_results_are_listed_by_assignment(self, cast: School, piece: Piece) -> None:
        released(piece, cast.teacher)
        client = signed_in(cast.teacher)
        for asked, count in ((piece.assignment_id, 1), (piece.pk, 0)):
            found = client.get(f"/api/results/?assignment={asked}").json()["results"]
            assert len(found) == count
        wrong = client.get("/api/results/?assignment=x")
        assert (wrong.status_code, wrong.json()["errors"][0]["field"]) == (422, "assignment")
