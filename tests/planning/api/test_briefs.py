"""Briefs, source forms and assignments over the API."""

import json
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from planning.models import Assignment, Brief, Piece, SourceForm
from planning.services.source_forms import ensure_source_forms
from studio.people.models import User
from tests.cast import School, pupil, signed_in, today_there
from tests.planning.projects import TERMS, a_body, a_brief, given

pytestmark = pytest.mark.django_db


def send(client: Client, verb: str, name: str, *of: Any, data: Any = None, **headers: str) -> Any:
    return client.generic(
        verb,
        reverse(name, args=of),
        json.dumps(data, default=str),
        content_type="application/json",
        headers=headers,
    )


def asked(by: User, **changed: Any) -> dict[str, Any]:
    body = a_body(by)
    return TERMS | {"title": "Something that grew", "clay_body": body.pk} | changed


class TestBriefs:
    def test_one_is_made_read_changed_and_put_away(self, cast: School) -> None:
        client = signed_in(cast.teacher)
        made = send(client, "POST", "api_briefs", data=asked(cast.teacher))
        assert made.status_code == 201, made.content
        pk = made.json()["id"]
        assert {name: made.json()[name] for name in TERMS} == TERMS
        assert send(client, "GET", "api_brief", pk).json() == made.json()
        changed = send(client, "PATCH", "api_brief", pk, data={"wall_mm": 9, "archived": True})
        assert (changed.json()["wall_mm"], changed.json()["archived"]) == (9.0, True)
        listed = send(client, "GET", "api_briefs").json()["results"]
        assert [each["id"] for each in listed] == [pk]

    @pytest.mark.parametrize(
        ("changed", "status", "field"),
        [
            ({"max_fired_height_mm": 100}, 422, "max_fired_height_mm"),
            ({"wall_mm": 1}, 400, "wall_mm"),
            ({"wall_mm": "8"}, 400, "wall_mm"),
            ({"wall_mm": 1e308}, 400, "wall_mm"),
            ({"least_thumbnails": 10**400}, 400, "least_thumbnails"),
            ({"title": "a\0"}, 400, "title"),
            ({"surface": "shiny"}, 400, "surface"),
            ({"clay_body": "x"}, 400, "clay_body"),
            ({"clay_body": ["x"]}, 400, "clay_body"),
            ({"clay_body": "00000000-0000-0000-0000-000000000000"}, 400, "clay_body"),
            ({"what_to_make": "x" * 4001}, 400, "what_to_make"),
        ],
    )
    def test_what_is_refused_names_its_field(
        self, cast: School, changed: dict[str, Any], status: int, field: str
    ) -> None:
        client = signed_in(cast.teacher)
        answer = send(client, "POST", "api_briefs", data=asked(cast.teacher, **changed))
        assert answer.status_code == status, answer.content
        assert [each["field"] for each in answer.json()["errors"]] == [field]
        assert not Brief.objects.exists()

    def test_clay_of_another_studio_is_unknown_here(self, cast: School) -> None:
        body = a_body(cast.elsewhere.teacher)
        data = asked(cast.teacher, clay_body=body.pk)
        assert send(signed_in(cast.teacher), "POST", "api_briefs", data=data).status_code == 400

    def test_a_copy_is_a_brief_of_its_own(self, cast: School) -> None:
        brief = a_brief(cast.teacher)
        client = signed_in(cast.other_teacher)
        made = send(client, "POST", "api_brief_copies", brief.pk, data={"title": "Autumn"})
        assert (made.status_code, made.json()["title"]) == (201, "Autumn")
        assert Brief.objects.count() == 2

    def test_a_retry_with_its_key_makes_one(self, cast: School) -> None:
        client, data = signed_in(cast.teacher), asked(cast.teacher)
        first, second = (
            send(client, "POST", "api_briefs", data=data, **{"Idempotency-Key": "k"})
            for _again in range(2)
        )
        assert first.json() == second.json()
        assert Brief.objects.count() == 1

    def test_it_is_given_to_classes_all_or_none(self, cast: School) -> None:
        brief, today = a_brief(cast.head), today_there()
        both = {
            "sections": [cast.section.pk, cast.other_section.pk],
            "given_on": today,
            "due_on": today + timedelta(60),
        }
        refused = send(signed_in(cast.teacher), "POST", "api_brief_give", brief.pk, data=both)
        assert refused.status_code == 422
        assert refused.json()["errors"][0]["field"] == "sections"
        assert not Assignment.objects.exists()
        given_now = send(signed_in(cast.head), "POST", "api_brief_give", brief.pk, data=both)
        assert given_now.status_code == 201, given_now.content
        kinds = [each["kind"] for each in given_now.json()[0]["milestones"]]
        assert kinds == ["thumbnails", "chosen", "refined", "plan_sent", "built"]
        assert Piece.objects.count() == 3

    @pytest.mark.parametrize("who", ["technician", "student", "nobody"])
    def test_others_reach_none_of_it(self, cast: School, who: str) -> None:
        brief, client = a_brief(cast.teacher), signed_in(getattr(cast, who))
        for verb, name, of in (
            ("GET", "api_briefs", ()),
            ("POST", "api_briefs", ()),
            ("GET", "api_brief", (brief.pk,)),
            ("PATCH", "api_brief", (brief.pk,)),
            ("POST", "api_brief_give", (brief.pk,)),
            ("GET", "api_source_forms", ()),
        ):
            assert send(client, verb, name, *of, data={}).status_code == 403

    def test_the_list_makes_as_many_queries_for_many(self, cast: School) -> None:
        client, counts = signed_in(cast.teacher), []
        for n in (1, 10):
            for place in range(n):
                a_brief(cast.teacher, f"Brief {n} {place}")
            with CaptureQueriesContext(connection) as queries:
                send(client, "GET", "api_briefs")
            counts.append(len(queries))
        assert counts[0] == counts[1] <= 15


class TestSourceForms:
    def test_one_is_added_renamed_and_retired(self, cast: School) -> None:
        ensure_source_forms(studio=cast.studio)
        client = signed_in(cast.teacher)
        made = send(client, "POST", "api_source_forms", data={"name": "driftwood"})
        assert made.status_code == 201, made.content
        data = {"name": "root", "retired": True}
        changed = send(client, "PATCH", "api_source_form", made.json()["id"], data=data)
        assert changed.json() == made.json() | data
        assert send(client, "GET", "api_source_forms").json()["count"] == 11
        twice = send(client, "POST", "api_source_forms", data={"name": "BUD"})
        assert (twice.status_code, SourceForm.objects.count()) == (422, 11)


class TestAssignments:
    def test_everybody_in_the_class_reads_it(self, cast: School) -> None:
        [assignment] = given(cast.teacher, cast.section)
        for who in (cast.head, cast.teacher, cast.technician, cast.student):
            answer = send(signed_in(who), "GET", "api_assignment", assignment.pk)
            assert answer.json()["max_fired_height_mm"] == 340.0
            listed = send(signed_in(who), "GET", "api_assignments").json()["results"]
            assert [each["id"] for each in listed] == [str(assignment.pk)]
        for who in (cast.other_teacher, cast.other_student, cast.elsewhere.head, cast.nobody):
            answer = send(signed_in(who), "GET", "api_assignment", assignment.pk)
            assert answer.status_code == 404

    def test_its_dates_move_in_order(self, cast: School) -> None:
        today = today_there()
        [assignment] = given(cast.teacher, cast.section)
        client = signed_in(cast.teacher)
        dates = send(client, "GET", "api_assignment_dates", assignment.pk).json()
        assert next(iter(dates)) == "given_on"
        moved = {name: f"{today + timedelta(7 * place)}" for place, name in enumerate(dates)}
        answer = send(client, "PUT", "api_assignment_dates", assignment.pk, data=moved)
        assert answer.json() == moved
        wrong = moved | {"refined": moved["given_on"]}
        answer = send(client, "PUT", "api_assignment_dates", assignment.pk, data=wrong)
        assert answer.status_code == 422
        assert answer.json()["errors"][0]["field"] == "refined"
        assert assignment.milestones.get(kind="refined").on == date.fromisoformat(moved["refined"])

    def test_those_without_a_piece_are_given_theirs(self, cast: School) -> None:
        [assignment] = given(cast.teacher, cast.section)
        late = pupil(cast.head, cast.section, "Late", "Comer")
        client = signed_in(cast.teacher)
        answer = send(client, "POST", "api_assignment_pieces", assignment.pk)
        assert [each["student"] for each in answer.json()] == [str(late.pk)]
        assert send(client, "POST", "api_assignment_pieces", assignment.pk).json() == []
        stranger = signed_in(cast.other_teacher)
        answer = send(stranger, "POST", "api_assignment_pieces", assignment.pk)
        assert answer.status_code == 404
