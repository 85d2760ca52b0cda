"""What differs for a student, over the API."""

import json
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from assessments.models import Exemption
from planning.models import Adjustment, Assignment
from studio.people.models import IdempotencyKey
from tests.cast import School, signed_in, today_there
from tests.planning.projects import given

pytestmark = pytest.mark.django_db

REASON = "A broken wrist, on the mend."


@pytest.fixture
def assignment(cast: School) -> Assignment:
    [made] = given(cast.teacher, cast.section)
    return made


def at(assignment: Assignment, cast: School) -> str:
    return reverse("api_adjustment", args=[assignment.pk, cast.student.pk])


def put(client: Client, path: str, **data: Any) -> Any:
    body = json.dumps({"private_reason": REASON} | data, default=str)
    headers = {"Idempotency-Key": "k"}
    return client.generic("PUT", path, body, content_type="application/json", headers=headers)


def test_it_is_set_read_and_taken_away(assignment: Assignment, cast: School) -> None:
    client, path = signed_in(cast.teacher), at(assignment, cast)
    nothing = client.get(path).json()
    assert set(map(str, nothing.values())) == {"None", "[]", ""}
    criteria = client.get(reverse("api_criteria")).json()["results"]
    assert [each["title"] for each in criteria][2] == "joint quality"
    own = f"{today_there() + timedelta(90)}"
    answer = put(client, path, least_thumbnails=0, built=own, exempt=[criteria[2]["id"]])
    assert answer.status_code == 200, answer.content
    assert client.get(path).json() == answer.json()
    assert answer.json()["built"] == own
    assert answer.json()["exempt"] == [criteria[2]["id"]]
    assert answer.json()["least_refinements"] is None
    assert client.delete(path).status_code == 204
    assert client.get(path).json() == nothing
    assert not Exemption.objects.exists()


def test_no_kept_answer_holds_the_reason(assignment: Assignment, cast: School) -> None:
    put(signed_in(cast.teacher), at(assignment, cast), least_thumbnails=0)
    assert Adjustment.objects.exists()
    assert not IdempotencyKey.objects.exists()


@pytest.mark.parametrize(
    ("data", "status", "field"),
    [
        ({"least_thumbnails": 51}, 400, "least_thumbnails"),
        ({"least_thumbnails": 1e400}, 400, ""),
        ({"built": "0001-01-01"}, 422, "built"),
        ({"built": 5}, 400, "built"),
        ({"exempt": ["00000000-0000-0000-0000-000000000000"]}, 422, "exempt"),
        ({"exempt": ["x"]}, 400, "exempt.0"),
        ({"least_thumbnails": 1, "private_reason": ""}, 400, "private_reason"),
        ({}, 422, ""),
    ],
)
def test_what_is_refused_names_its_field(
    assignment: Assignment, cast: School, data: dict[str, Any], status: int, field: str
) -> None:
    answer = put(signed_in(cast.teacher), at(assignment, cast), **data)
    assert answer.status_code == status, answer.content
    if field:
        assert answer.json()["errors"][0]["field"] == field
    assert not Adjustment.objects.exists()


def test_nobody_but_its_teachers_and_heads_reach_it(assignment: Assignment, cast: School) -> None:
    path = at(assignment, cast)
    put(signed_in(cast.head), path, least_thumbnails=0)
    for who, status in (
        (cast.other_teacher, 404),
        (cast.elsewhere.head, 404),
        (cast.technician, 403),
        (cast.student, 403),
        (cast.nobody, 403),
    ):
        client = signed_in(who)
        assert client.get(path).status_code == status
        assert put(client, path, least_thumbnails=1).status_code == status
        assert client.delete(path).status_code == status
    assert Adjustment.objects.get().least_thumbnails == 0
