"""The bench over the API: the services' answers and refusals as JSON."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from studio.bench.models import BuildCheck, CarryOn, RowLaid
from tests.cast import School, signed_in
from tests.studio.bench.pots import asked, checked, laid
from tests.studio.ware.pots import a_pot

pytestmark = pytest.mark.django_db


def send(client: Client, method: str, name: str, /, *of: object, **said: Any) -> Any:
    headers = {"Idempotency-Key": said.pop("key")} if "key" in said else {}
    act = getattr(client, method)
    address = reverse(name, args=of)
    return act(address, said, content_type="application/json", headers=headers)


def read(client: Client, name: str, *of: object) -> Any:
    answer = client.get(reverse(name, args=of))
    assert answer.status_code == 200
    return answer.json()


def test_rows_are_read_laid_and_taken_back(cast: School) -> None:
    pot, client = a_pot(cast), signed_in(cast.student)
    rows = read(client, "api_pot_rows", pot.pk)
    assert (rows["laid"], len(rows["rows"])) == (0, 11)
    assert rows["rows"][0]["laid_at"] is None
    assert rows["rows"][-1]["height_mm"] == pytest.approx(200)
    assert {each["row"] for each in rows["reached"]} <= {each["row"] for each in rows["rows"]}
    answer = send(client, "put", "api_pot_rows", pot.pk, laid=3).json()
    assert answer["laid"] == 3
    assert answer["rows"][2]["laid_by"] == "Ode Amari"
    assert send(client, "put", "api_pot_rows", pot.pk, laid=2).json()["laid"] == 2
    refused = send(client, "put", "api_pot_rows", pot.pk, laid=0)
    assert (refused.status_code, refused.json()["detail"]) == (
        409,
        "Row 2 stands on it. Take back the highest row first.",
    )
    assert send(client, "put", "api_pot_rows", pot.pk, laid=2).json()["laid"] == 2
    assert RowLaid.objects.standing().count() == 2


def test_nothing_laid_stays_nothing(cast: School) -> None:
    pot = a_pot(cast)
    assert send(signed_in(cast.student), "put", "api_pot_rows", pot.pk, laid=0).status_code == 200


def test_rests_and_lessons_have_their_sentences_and_dates(cast: School) -> None:
    rows = read(signed_in(cast.teacher), "api_pot_rows", a_pot(cast).pk)
    first = rows["rests"][0]
    assert (first["after_row"], first["reason"]) == (3, "lesson_end")
    assert first["message"].startswith("Stop after row 3, at the end of the lesson.")
    assert rows["reached"][0] == {
        "on": "2026-03-11",
        "row": 3,
        "height_mm": rows["rows"][2]["height_mm"],
    }


def test_the_wall_is_told(cast: School) -> None:
    pot = laid(cast, 3)
    answer = send(
        signed_in(cast.student), "post", "api_pot_wall", pot.pk, height_mm=50, after_row=3
    )
    assert answer.status_code == 201
    assert answer.json()["message"].startswith("The wall is about 10\xa0mm thick")


def test_a_check_is_kept_once_for_a_key_and_listed(cast: School) -> None:
    pot, client = laid(cast), signed_in(cast.student)
    measured = [{"height_mm": 100, "front_mm": 206, "state": "soft"}]
    first, second = (
        send(client, "post", "api_build_checks", pot.pk, measured=measured, key="one")
        for _time in range(2)
    )
    assert first.status_code == second.status_code == 201
    assert first.json() == second.json()
    [place] = first.json()["checks"]
    assert place["action"] == "dart"
    assert place["message"].startswith("16\xa0mm too wide here. Cut 6 darts")
    [listed] = read(signed_in(cast.teacher), "api_build_checks", pot.pk)["results"]
    assert listed["id"] == first.json()["id"]
    assert BuildCheck.objects.count() == 1


def test_a_slip_is_a_problem_at_its_path(cast: School) -> None:
    pot = laid(cast)
    measured = [{"height_mm": 100, "front_mm": 4, "state": "soft"}]
    answer = send(signed_in(cast.student), "post", "api_build_checks", pot.pk, measured=measured)
    assert (answer.status_code, answer["Content-Type"]) == (422, "application/problem+json")
    assert [each["field"] for each in answer.json()["errors"]] == ["measured.0.front_mm"]


def test_a_check_is_struck_out(cast: School) -> None:
    kept = checked(laid(cast), cast.student)
    answer = send(
        signed_in(cast.student), "post", "api_build_check_strike", kept.pk, reason="The other pot"
    )
    assert answer.json()["reason"] == "The other pot"
    other = checked(kept.pot, cast.teacher, hours=2)
    refused = send(
        signed_in(cast.student), "post", "api_build_check_strike", other.pk, reason="Not mine"
    )
    assert refused.status_code == 403


def test_carrying_on_is_asked_agreed_and_read(cast: School) -> None:
    kept = checked(laid(cast, 4), cast.student)
    student, teacher = signed_in(cast.student), signed_in(cast.teacher)
    question = send(student, "post", "api_build_check_carry_on", kept.pk, laid=4)
    assert (question.status_code, question.json()["state"]) == (201, "asked")
    pk = question.json()["id"]
    assert send(student, "post", "api_carry_on_agree", pk).status_code == 403
    assert send(signed_in(cast.other_teacher), "post", "api_carry_on_agree", pk).status_code == 404
    answer = send(teacher, "post", "api_carry_on_agree", pk, note="Well seen.").json()
    assert (answer["state"], answer["decided_by"]) == ("agreed", "Tomas Lindqvist")
    assert send(teacher, "post", "api_carry_on_agree", pk).status_code == 409
    rows = read(student, "api_pot_rows", kept.pot_id)["rows"]
    assert len(rows) == 4 + len(answer["figures"]["rows"])
    [listed] = read(student, "api_carry_ons", kept.pot_id)["results"]
    assert (listed["note"], listed["asked_by"]) == ("Well seen.", "Ode Amari")


def test_a_no_needs_its_note_and_a_student_may_take_it_back(cast: School) -> None:
    question = asked(cast)
    teacher = signed_in(cast.teacher)
    refused = send(teacher, "post", "api_carry_on_decline", question.pk)
    assert [each["field"] for each in refused.json()["errors"]] == ["note"]
    taken = send(signed_in(cast.student), "post", "api_carry_on_take_back", question.pk)
    assert taken.json()["state"] == "taken_back"
    assert CarryOn.objects.asked().count() == 0


def test_others_find_nothing(cast: School) -> None:
    question = asked(cast)
    for by in (cast.classmate, cast.other_teacher, cast.elsewhere.head):
        client = signed_in(by)
        for name, of in (
            ("api_pot_rows", question.pot_id),
            ("api_build_checks", question.pot_id),
            ("api_carry_ons", question.pot_id),
        ):
            assert client.get(reverse(name, args=[of])).status_code == 404
