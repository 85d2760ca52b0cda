"""The API of people: rows, refusals, tokens, writes answered once."""

import json
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, connection
from django.test import Client
from django.utils import timezone

from studio.errors import Conflict, Refused
from studio.people.idempotency import Answer, answered_once
from studio.people.models import ApiToken, IdempotencyKey, Meeting, User
from studio.people.tokens import make_token
from tests.cast import NOW, PASSWORD, TODAY, School, signed_in, today_there


def send(client: Client, method: str, path: str, body: Any = None, **headers: str) -> Any:
    content = body if isinstance(body, str) else json.dumps(body)
    return client.generic(method, path, content, content_type="application/json", headers=headers)


@pytest.mark.django_db
class TestReading:
    def test_everybody_reads_who_they_are(self, cast: School) -> None:
        me = signed_in(cast.student).get("/api/me/").json()
        assert (me["given_name"], me["role"], me["studio"]["slug"]) == (
            "Ode",
            "student",
            "brookfield",
        )
        assert signed_in(cast.nobody).get("/api/me/").json()["studio"] is None

    def test_each_sees_their_own_classes(self, cast: School) -> None:
        def titles(person: User) -> list[str]:
            answer = signed_in(person).get("/api/classes/").json()
            return [row["title"] for row in answer["results"]]

        assert titles(cast.head) == ["Period 3", "Period 5"]
        assert titles(cast.technician) == ["Period 3", "Period 5"]
        assert titles(cast.teacher) == titles(cast.student) == ["Period 3"]
        assert titles(cast.elsewhere.head) == ["Evening group"]
        assert titles(cast.nobody) == []

    def test_a_student_sees_only_their_own_enrolment(self, cast: School) -> None:
        path = f"/api/classes/{cast.section.pk}/enrolments/"

        def names(person: User) -> list[str]:
            rows = signed_in(person).get(path).json()["results"]
            return [row["student"]["given_name"] for row in rows]

        assert names(cast.student) == ["Ode"]
        assert names(cast.teacher) == ["Ode", "Bram"]

    def test_one_class_and_one_date_are_read_too(self, cast: School) -> None:
        client, meeting = (
            signed_in(cast.student),
            Meeting.objects.get(section=cast.section, on=TODAY),
        )
        assert client.get(f"/api/classes/{cast.section.pk}/").json()["code"] == "P3"
        assert client.get(f"/api/meetings/{meeting.pk}/").json() == {
            "id": str(meeting.pk),
            "on": "2026-03-11",
            "note": "",
            "cancelled": False,
        }

    def test_dates_come_in_order(self, cast: School) -> None:
        path = f"/api/classes/{cast.section.pk}/meetings/?page_size=3"
        rows = signed_in(cast.student).get(path).json()["results"]
        assert [row["on"] for row in rows] == ["2026-02-02", "2026-02-04", "2026-02-09"]

    @pytest.mark.parametrize("path", ["", "enrolments/", "meetings/"])
    def test_another_s_class_is_not_found(self, cast: School, path: str) -> None:
        for person in (cast.other_teacher, cast.other_student, cast.elsewhere.head, cast.nobody):
            answer = signed_in(person).get(f"/api/classes/{cast.section.pk}/{path}")
            assert answer.status_code == 404
            assert answer.headers["Content-Type"] == "application/problem+json"

    @pytest.mark.parametrize(
        "path",
        [
            "classes/not-a-uuid/",
            "classes/%00/",
            "meetings/1/",
            "meetings/c0ffee00-0000-4000-8000-000000000000/",
            "classes/?page=0",
            "classes/?page=%00",
            "classes/?page=" + "9" * 5000,
            "classes/?page_size=-1&page=x",
        ],
    )
    def test_made_up_addresses_are_not_found(self, cast: School, path: str) -> None:
        assert signed_in(cast.head).get(f"/api/{path}").status_code == 404

    def test_signed_out_programs_are_told_how(self, db: None, client: Client) -> None:
        answer = client.get("/api/classes/")
        assert answer.status_code == 401
        assert answer.headers["WWW-Authenticate"] == "Token"


@pytest.mark.django_db
class TestWriting:
    def path(self, cast: School) -> str:
        return f"/api/classes/{cast.section.pk}/meetings/"

    def meeting(self, cast: School) -> str:
        return f"/api/meetings/{Meeting.objects.get(section=cast.section, on=TODAY).pk}/"

    def test_a_teacher_adds_moves_and_cancels(self, cast: School) -> None:
        client = signed_in(cast.teacher)
        day = today_there() + timedelta(days=400)
        made = send(client, "POST", self.path(cast), {"on": f"{day}", "note": "late"})
        assert made.status_code == 201
        path = f"/api/meetings/{made.json()['id']}/"
        moved = send(client, "PATCH", path, {"on": f"{day + timedelta(days=1)}"})
        assert moved.json()["note"] == "late"
        assert send(client, "PATCH", path, {"cancelled": True}).json()["cancelled"] is True
        assert send(client, "PATCH", path, {"cancelled": False}).json()["cancelled"] is False

    def test_a_refusal_names_its_field(self, cast: School) -> None:
        answer = send(signed_in(cast.teacher), "POST", self.path(cast), {"on": "2926-03-11"})
        assert answer.status_code == 422
        assert answer.json()["errors"] == [
            {"field": "on", "detail": "This date is years away. Check the year."}
        ]

    @pytest.mark.parametrize(
        "body",
        [
            "",
            "{",
            "[]",
            "null",
            "1",
            {"on": None},
            {"on": "yesterday"},
            {"on": ["2026-03-14"]},
            {"on": "2026-03-14", "note": "a\x00b"},
            '{"on": "2026-03-14", "note": "\\ud800"}',
            {"on": "2026-03-14", "note": "x" * 201},
            {"on": "2026-03-14", "note": {"a": 1}},
        ],
    )
    def test_malformed_bodies_are_refused_in_words(self, cast: School, body: Any) -> None:
        answer = send(signed_in(cast.teacher), "POST", self.path(cast), body)
        assert answer.status_code == 400
        assert answer.headers["Content-Type"] == "application/problem+json"

    def test_those_who_don_t_teach_the_class_write_nothing(self, cast: School) -> None:
        body = {"on": f"{today_there()}"}
        expected = {
            cast.student: 403,
            cast.technician: 403,
            cast.nobody: 403,
            cast.other_teacher: 404,
            cast.elsewhere.head: 404,
        }
        for person, status in expected.items():
            client = signed_in(person)
            assert send(client, "POST", self.path(cast), body).status_code == status
            assert send(client, "PATCH", self.meeting(cast), body).status_code == status

    def test_a_session_needs_its_csrf_token(self, cast: School) -> None:
        client = Client(enforce_csrf_checks=True)
        client.force_login(cast.teacher)
        assert send(client, "POST", self.path(cast), {"on": "2026-03-14"}).status_code == 403

    def test_a_reading_token_only_reads(self, cast: School) -> None:
        now = timezone.now()
        day = {"on": f"{today_there() + timedelta(days=400)}"}
        for scope, status in ((ApiToken.Scope.READ, 403), (ApiToken.Scope.WRITE, 201)):
            _token, secret = make_token(
                person=cast.teacher, name=scope, scope=scope, ends_at=now + timedelta(1), at=now
            )
            headers = {"Authorization": f"Token {secret}"}
            assert Client().get("/api/classes/", headers=headers).status_code == 200
            assert send(Client(), "POST", self.path(cast), day, **headers).status_code == status

    @pytest.mark.parametrize(
        "sent", ["Token", "Token a b", "Token wrong", "token \xe9", "Token \x00"]
    )
    def test_a_wrong_token_is_told(self, cast: School, sent: str) -> None:
        assert Client().get("/api/me/", headers={"Authorization": sent}).status_code == 401

    def test_a_token_ends_with_its_time_its_person_and_its_account(self, cast: School) -> None:
        now = timezone.now()
        _token, secret = make_token(
            person=cast.teacher, name="x", scope="read", ends_at=now + timedelta(1), at=now
        )
        headers = {"Authorization": f"Token {secret}"}
        assert secret not in str(list(ApiToken.objects.values()))
        User.objects.filter(pk=cast.teacher.pk).update(is_active=False)
        assert Client().get("/api/me/", headers=headers).status_code == 401
        User.objects.filter(pk=cast.teacher.pk).update(is_active=True)
        ApiToken.objects.update(ends_at=now)
        assert Client().get("/api/me/", headers=headers).status_code == 401

    def test_students_make_no_tokens(self, cast: School) -> None:
        with pytest.raises(Refused, match="Only staff make tokens"):
            make_token(
                person=cast.student, name="x", scope="read", ends_at=NOW + timedelta(1), at=NOW
            )

    def test_a_first_password_opens_no_api(self, cast: School) -> None:
        User.objects.filter(pk=cast.teacher.pk).update(must_change_password=True)
        assert signed_in(cast.teacher).get("/api/classes/").status_code in {302, 403}


@pytest.mark.django_db
class TestOnce:
    def test_a_retry_gets_the_same_answer_and_writes_nothing(self, cast: School) -> None:
        client, path = signed_in(cast.teacher), f"/api/classes/{cast.section.pk}/meetings/"
        day = {"on": f"{today_there() + timedelta(days=400)}"}
        first = send(client, "POST", path, day, **{"Idempotency-Key": "k1"})
        count = Meeting.objects.count()
        again = send(client, "POST", path, day, **{"Idempotency-Key": "k1"})
        assert (again.status_code, again.json()) == (201, first.json())
        assert Meeting.objects.count() == count

    def test_the_same_key_for_something_else_is_a_conflict(self, cast: School) -> None:
        client, path = signed_in(cast.teacher), f"/api/classes/{cast.section.pk}/meetings/"
        for days, status in ((400, 201), (401, 409)):
            day = {"on": f"{today_there() + timedelta(days=days)}"}
            answer = send(client, "POST", path, day, **{"Idempotency-Key": "k1"})
            assert answer.status_code == status
        assert "used for another request" in answer.json()["detail"]

    def test_keys_belong_to_their_person(self, cast: School) -> None:
        for person, content in ((cast.teacher, 1), (cast.head, 2)):
            given = self.ask(person, "k", "d", content)
            assert given == Answer(200, content)

    def test_a_refusal_gives_the_key_back(self, cast: School) -> None:
        def refuse() -> Answer:
            raise Refused("No.")

        with pytest.raises(Refused, match=r"No\."):
            answered_once(person=cast.teacher, key="k", request_digest="d", answer=refuse, at=NOW)
        assert self.ask(cast.teacher, "k", "other", 7) == Answer(200, 7)

    def test_a_clash_within_the_answer_is_not_taken_for_a_retry(self, cast: School) -> None:
        def clash() -> Answer:
            cast.student.pk = uuid4()
            cast.student.save(force_insert=True)
            return Answer(201, None)

        with pytest.raises(IntegrityError):
            answered_once(person=cast.head, key="k", request_digest="d", answer=clash, at=NOW)

    def test_an_empty_answer_is_an_answer(self, cast: School) -> None:
        assert self.ask(cast.teacher, "k", "d", None) == Answer(200, None)
        assert self.ask(cast.teacher, "k", "d", "never called") == Answer(200, None)

    def test_old_keys_go_after_a_week(self, cast: School) -> None:
        self.ask(cast.teacher, "old", "d", 1)
        IdempotencyKey.objects.update(at=NOW - timedelta(days=8))
        self.ask(cast.teacher, "new", "d", 1)
        assert list(IdempotencyKey.objects.values_list("key", flat=True)) == ["new"]

    @pytest.mark.parametrize("key", ["x" * 81, "schlüssel"])
    def test_a_bad_key_is_refused(self, cast: School, key: str) -> None:
        path = f"/api/classes/{cast.section.pk}/meetings/"
        day = {"on": f"{today_there()}"}
        answer = send(signed_in(cast.teacher), "POST", path, day, **{"Idempotency-Key": key})
        assert answer.status_code == 422
        assert "at most 80 plain characters" in answer.json()["detail"]

    def ask(self, person: User, key: str, digest: str, content: Any) -> Answer:
        return answered_once(
            person=person,
            key=key,
            request_digest=digest,
            answer=lambda: Answer(200, content),
            at=NOW,
        )


@pytest.mark.both_databases
@pytest.mark.django_db(transaction=True)
def test_many_retries_at_once_run_the_write_once() -> None:
    person = User.objects.create_user(username="ana", password=PASSWORD)
    ran = []

    def write() -> Answer:
        ran.append(1)
        return Answer(201, {"n": len(ran)})

    def ask(_number: int) -> Answer:
        try:
            return answered_once(person=person, key="k", request_digest="d", answer=write, at=NOW)
        finally:
            connection.close()

    with ThreadPoolExecutor(8) as pool:
        answers = set(map(str, pool.map(ask, range(16))))
    assert len(answers) == 1
    assert len(ran) == 1
    with pytest.raises(Conflict, match="Send a new key"):
        answered_once(person=person, key="k", request_digest="e", answer=write, at=NOW)
