"""Clay over the API."""

from typing import Any

import pytest
from django.test import Client

from studio.clay.models import Entry, Lot, LotKind
from studio.ware.models import Pot
from tests.cast import TODAY, School, signed_in
from tests.studio.clay.room import a_lot, a_pot, an_approved_plan, issued, left_g, the_body

pytestmark = pytest.mark.both_databases


def post(client: Client, name: str, body: dict[str, Any], key: str = "") -> Any:
    headers = {"Idempotency-Key": key} if key else {}
    return client.post(f"/api/{name}/", body, content_type="application/json", headers=headers)


@pytest.fixture
def teacher(cast: School) -> Client:
    return signed_in(cast.teacher)


def test_a_delivery_is_posted_once_for_each_key(cast: School, teacher: Client) -> None:
    body = {"body": str(the_body(cast).pk), "bags": 2, "bag_g": 11340, "came_on": str(TODAY)}
    first = post(teacher, "clay-deliveries", body, "k1")
    again = post(teacher, "clay-deliveries", body, "k1")
    assert first.status_code == again.status_code == 201
    assert first.json() == again.json()
    assert (first.json()["balance_g"], first.json()["kind"]) == (22_680, "bought")
    other = post(teacher, "clay-deliveries", body | {"bags": 3}, "k1")
    assert other.status_code == 409
    assert teacher.get("/api/lots/").json()["count"] == 1
    [entry] = teacher.get("/api/clay-entries/").json()["results"]
    assert (entry["kind"], entry["grams"], entry["code"]) == ("delivery", 22_680, None)


def test_clay_is_issued_to_a_pot_a_class_or_a_table(cast: School, teacher: Client) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    at = {"lot": str(lot.pk)}
    to_pot = post(teacher, "clay-issues", at | {"pot": str(pot.pk), "grams": 2400}).json()
    assert (to_pot["grams"], to_pot["code"]) == (-2400, pot.code)
    assert to_pot["planned_g"] == pot.plan.issue_g
    section = {"section": str(cast.section.pk), "part": "half"}
    assert post(teacher, "clay-issues", at | section).json()["grams"] == -6250
    assert post(teacher, "clay-issues", at | {"table": "4", "grams": 100}).status_code == 201
    refused = post(teacher, "clay-issues", at | {"table": "4", "grams": 20_000})
    assert refused.status_code == 422
    assert refused.json()["errors"][0]["field"] == "grams"
    assert "There are 16.3\u00a0kg left of" in refused.json()["detail"]


@pytest.mark.parametrize(
    ("body", "field", "words"),
    [
        ({"grams": 5}, "pot", "Name one: a pot, a class (section) or a table."),
        ({"table": "4"}, "grams", "one of the two"),
        ({"table": "4", "grams": 5, "part": "half"}, "grams", "one of the two"),
        ({"table": "4", "part": "half"}, "part", "This lot is not in bags."),
        ({"table": "4", "grams": "5"}, "grams", "Give a plain number."),
        ({"table": "4", "grams": 0.1}, "grams", "at least 1 g"),
    ],
)
def test_an_issue_that_cannot_be_is_refused_at_its_field(
    body: dict[str, Any], field: str, words: str, cast: School, teacher: Client
) -> None:
    lot = a_lot(cast, bags=0, bag_g=None, loose_g=900)
    answer = post(teacher, "clay-issues", {"lot": str(lot.pk)} | body)
    assert answer.status_code in {400, 422}
    [error] = answer.json()["errors"]
    assert error["field"] == field
    assert words in error["detail"]
    assert left_g(lot) == 900


def test_a_class_is_issued_in_one_post_all_rows_or_none(cast: School, teacher: Client) -> None:
    plan, lot = an_approved_plan(cast), a_lot(cast)
    assignment = plan.piece.assignment
    other = assignment.pieces.get(student=cast.classmate)
    name = f"assignments/{assignment.pk}/clay-issues"
    good = {"piece": str(plan.piece_id), "lot": str(lot.pk), "grams": 2400}
    bad = good | {"piece": str(other.pk)}
    refused = post(teacher, name, {"rows": [good, bad]})
    assert refused.status_code == 422
    assert refused.json()["errors"][0]["field"] == "rows.1.piece"
    assert not Pot.objects.exists()
    done = post(teacher, name, {"rows": [good]}, "k2")
    assert done.status_code == 201
    assert post(teacher, name, {"rows": [good]}, "k2").json() == done.json()
    assert [entry["grams"] for entry in done.json()] == [-2400]
    assert left_g(lot) == 22_600
    wrong: list[list[dict[str, Any]]] = [[], [good | {"grams": "x"}], [{}]]
    for rows in wrong:
        assert post(teacher, name, {"rows": rows}).status_code == 400


def test_clay_comes_back_is_reclaimed_written_off_and_taken_back(
    cast: School, teacher: Client
) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    issued(cast, pot, lot, 2400)
    fit = {"pot": str(pot.pk), "lot": str(lot.pk), "grams": 300}
    assert post(teacher, "clay-returns", fit).json()["lot"] == str(lot.pk)
    dry = {"pot": str(pot.pk), "lot": None, "grams": 200}
    returned = post(teacher, "clay-returns", dry).json()["lot"]
    bucket = {"section": str(cast.section.pk), "body": str(lot.body_id), "grams": 5000}
    assert post(teacher, "clay-returns", bucket).json()["lot"] == returned
    neither = post(teacher, "clay-returns", {"grams": 5000})
    assert "Name a pot, with its lot if the clay is fit" in neither.json()["errors"][0]["detail"]
    made = post(teacher, "clay-reclaims", {"lot": returned, "taken_g": 5200, "ready_g": 5000})
    assert (made.json()["kind"], made.json()["balance_g"]) == (LotKind.RECLAIMED, 5000)
    off = post(teacher, "clay-write-offs", {"lot": str(lot.pk), "grams": 100, "reason": "wet"})
    assert off.json()["grams"] == -100
    back = post(teacher, "clay-corrections", {"entry": off.json()["id"], "reason": "was dry"})
    assert (back.json()["grams"], back.json()["reverses"]) == (100, off.json()["id"])
    again = post(teacher, "clay-corrections", {"entry": off.json()["id"], "reason": "was dry"})
    assert again.status_code == 409
    assert left_g(lot) == 25_000 - 2400 + 300


def test_what_is_not_theirs_is_as_if_it_were_not_there(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    entry = issued(cast, pot, lot)
    client = signed_in(cast.other_teacher)
    for name, body in (
        ("clay-issues", {"lot": str(lot.pk), "pot": str(pot.pk), "grams": 5}),
        ("clay-issues", {"lot": str(lot.pk), "section": str(cast.section.pk), "grams": 5}),
        ("clay-returns", {"lot": str(lot.pk), "pot": str(pot.pk), "grams": 5}),
        ("clay-corrections", {"entry": str(entry.pk), "reason": "mine"}),
        ("safety-talks", {"students": [str(cast.student.pk)], "on": str(TODAY)}),
    ):
        assert post(client, name, body).status_code == 400, name
    assert Entry.objects.count() == 2
    assert Lot.objects.count() == 1


def test_talks_are_recorded_and_listed(cast: School, teacher: Client) -> None:
    body = {"students": [str(cast.student.pk), str(cast.classmate.pk)], "on": str(TODAY)}
    assert len(post(teacher, "safety-talks", body).json()) == 2
    assert post(teacher, "safety-talks", body).json() == []
    assert post(teacher, "safety-talks", body | {"students": []}).status_code == 400
    listed = teacher.get("/api/safety-talks/").json()
    assert listed["count"] == 2
    assert {row["on"] for row in listed["results"]} == {str(TODAY)}
    # A technician holds talks too.
    technician = signed_in(cast.technician)
    assert post(technician, "safety-talks", body | {"on": "2026-03-10"}).status_code == 201
