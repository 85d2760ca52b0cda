"""Kilns, programs and slots over the API."""

from datetime import timedelta
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from studio.kilns.models import Program, Slot
from studio.room.models import Kiln
from tests.cast import School, signed_in, today_there
from tests.studio.kilns.kiln_room import KILN, a_kiln, a_slot, program

pytestmark = pytest.mark.django_db

SENT: dict[str, Any] = KILN | {
    "start_from": "06:00",
    "start_until": "22:00",
    "off_from": "06:00",
    "off_until": "21:30",
    "posts": [{"height_mm": 150, "sets": 2}, {"height_mm": 100}],
}
PROGRAM: dict[str, Any] = {
    "name": "Cone 6, short",
    "firing": "glaze",
    "segments": [{"rate_c_per_h": 100, "target_c": 600}, {"rate_c_per_h": 60, "target_c": 1222}],
}


def sent(client: Client, method: str, name: str, body: Any, *args: Any) -> Any:
    answer: HttpResponse = getattr(client, method)(
        reverse(name, args=args), body, content_type="application/json"
    )
    return answer


def fields(answer: Any) -> list[str]:
    return [each["field"] for each in answer.json()["errors"]]


class TestKilns:
    def test_a_technician_adds_changes_and_retires_one(self, cast: School) -> None:
        client = signed_in(cast.technician)
        body = SENT | {"confirms_shut_off": str(cast.technician.pk)}
        made = sent(client, "post", "api_kilns", body)
        assert made.status_code == 201, made.content
        assert made.json()["posts"] == [
            {"height_mm": 100, "sets": 1},
            {"height_mm": 150, "sets": 2},
        ]
        assert Program.objects.exists()
        small = a_kiln(cast.technician, name="Small kiln")
        pk = made.json()["id"]
        change = {"not_together_with": [str(small.pk)], "retired": True}
        changed = sent(client, "patch", "api_kiln", change, pk).json()
        assert (changed["not_together_with"], changed["retired"]) == ([str(small.pk)], True)
        assert changed["posts"] == made.json()["posts"]
        again = sent(client, "patch", "api_kiln", {"retired": False, "posts": []}, pk).json()
        assert (again["retired"], again["posts"]) == (False, [])
        assert client.get(reverse("api_kiln", args=[pk])).json() == again
        listed = client.get(reverse("api_kilns")).json()
        assert [each["name"] for each in listed["results"]] == ["Small kiln", "Tall kiln"]

    @pytest.mark.parametrize(
        ("changed", "status", "field"),
        [
            ({"shelf_width_mm": 10}, 400, "shelf_width_mm"),
            ({"cooling_h": "6"}, 400, "cooling_h"),
            ({"start_from": "25:00"}, 400, "start_from"),
            ({"posts": [{"height_mm": 150}] * 2}, 422, "posts.1.height_mm"),
            ({"posts": [{"height_mm": 5}]}, 400, "posts.0.height_mm"),
            ({"posts": [{"height_mm": 100 + n} for n in range(13)]}, 422, "posts"),
        ],
    )
    def test_what_is_refused_names_its_field(
        self, cast: School, changed: dict[str, Any], status: int, field: str
    ) -> None:
        body = SENT | {"confirms_shut_off": str(cast.technician.pk)} | changed
        answer = sent(signed_in(cast.technician), "post", "api_kilns", body)
        assert (answer.status_code, fields(answer)) == (status, [field]), answer.content
        assert not Kiln.objects.exists()

    def test_a_post_of_a_changed_kiln_is_given_whole(self, cast: School) -> None:
        kiln = a_kiln(cast.technician)
        answer = sent(
            signed_in(cast.technician), "patch", "api_kiln", {"posts": [{"sets": 2}]}, kiln.pk
        )
        assert (answer.status_code, fields(answer)) == (400, ["posts.0.height_mm"])
        assert kiln.posts.count() == len(KILN["posts"])

    def test_people_and_kilns_of_another_studio_are_unknown(self, cast: School) -> None:
        theirs = a_kiln(cast.elsewhere.head)
        body = SENT | {
            "confirms_shut_off": str(cast.elsewhere.head.pk),
            "not_together_with": [str(theirs.pk)],
        }
        answer = sent(signed_in(cast.technician), "post", "api_kilns", body)
        assert (answer.status_code, fields(answer)) == (
            400,
            ["confirms_shut_off", "not_together_with"],
        )


class TestPrograms:
    def test_a_program_is_answered_with_what_it_does(self, cast: School) -> None:
        client = signed_in(cast.teacher)
        made = sent(client, "post", "api_programs", PROGRAM)
        assert made.status_code == 201, made.content
        told = made.json()
        # 580/100 + 622/60 h; cone 6 at 60 °C/h is down at 1222 °C (the cone table's S1).
        assert told["duration_h"] == pytest.approx(580 / 100 + 622 / 60)
        assert (told["peak_c"], told["cone"], told["start_c"]) == (1222, "6", 20)
        one = reverse("api_program", args=[told["id"]])
        assert client.get(one).json() == told
        changed = sent(client, "patch", "api_program", {"retired": True, "note": "x"}, told["id"])
        assert (changed.json()["retired"], changed.json()["note"]) == (True, "x")
        again = sent(client, "patch", "api_program", {"retired": False}, told["id"])
        assert again.json()["retired"] is False
        assert client.get(reverse("api_programs")).json()["count"] == 1

    def test_a_segment_of_a_changed_program_is_given_whole(self, cast: School) -> None:
        old = a_slot(cast.technician).program
        change = {"segments": [{"target_c": 900}]}
        answer = sent(signed_in(cast.teacher), "patch", "api_program", change, old.pk)
        assert (answer.status_code, fields(answer)) == (400, ["segments.0.rate_c_per_h"])

    def test_a_used_program_is_answered_with_the_one_in_its_place(self, cast: School) -> None:
        old = a_slot(cast.technician).program
        answer = sent(signed_in(cast.head), "patch", "api_program", {"note": "Slow."}, old.pk)
        assert answer.json()["id"] != str(old.pk)
        assert answer.json()["note"] == "Slow."

    @pytest.mark.parametrize(
        ("changed", "status", "field"),
        [
            ({"segments": []}, 422, "segments"),
            ({"segments": [{"rate_c_per_h": 0, "target_c": 99}]}, 422, "segments.0.rate_c_per_h"),
            ({"segments": [{"rate_c_per_h": "9", "target_c": 99}]}, 400, "segments.0.rate_c_per_h"),
            ({"segments": "x"}, 400, "segments"),
            ({"firing": "raku"}, 400, "firing"),
        ],
    )
    def test_what_is_refused_names_its_field(
        self, cast: School, changed: dict[str, Any], status: int, field: str
    ) -> None:
        answer = sent(signed_in(cast.teacher), "post", "api_programs", PROGRAM | changed)
        assert answer.status_code == status, answer.content
        assert fields(answer)[0].startswith(field)
        assert not Program.objects.exists()


class TestSlots:
    def body(self, cast: School, **changed: Any) -> dict[str, Any]:
        kiln = Kiln.objects.filter(studio=cast.studio).first() or a_kiln(cast.technician)
        on = today_there() + timedelta(days=1)
        values = {
            "kiln": str(kiln.pk),
            "program": str(program(cast.technician).pk),
            "on": on.isoformat(),
            "start": "20:00",
        }
        return values | changed

    def test_a_firing_is_planned_moved_cancelled_and_brought_back(self, cast: School) -> None:
        client = signed_in(cast.technician)
        made = sent(client, "post", "api_slots", self.body(cast))
        assert made.status_code == 201, made.content
        pk = made.json()["id"]
        assert made.json()["confirms_shut_off"] == str(cast.technician.pk)
        change = {"start": "21:00", "confirms_shut_off": str(cast.head.pk), "note": "Late"}
        moved = sent(client, "patch", "api_slot", change, pk).json()
        assert moved["starts_at"] != made.json()["starts_at"]
        assert (moved["confirms_shut_off"], moved["note"]) == (str(cast.head.pk), "Late")
        gone = sent(client, "patch", "api_slot", {"cancelled": True}, pk).json()
        assert gone["cancelled_at"]
        back = sent(client, "patch", "api_slot", {"cancelled": False}, pk).json()
        assert back == moved == client.get(reverse("api_slot", args=[pk])).json()
        assert client.get(reverse("api_slots")).json()["count"] == 1

    def test_a_retry_with_the_same_key_plans_one_firing(self, cast: School) -> None:
        client, body = signed_in(cast.technician), self.body(cast)
        answers = [
            client.post(
                reverse("api_slots"),
                body,
                content_type="application/json",
                headers={"Idempotency-Key": "one"},
            ).json()
            for _try in range(2)
        ]
        assert answers[0] == answers[1]
        assert Slot.objects.count() == 1

    def test_weeks_are_answered_with_those_left_out(self, cast: School) -> None:
        client = signed_in(cast.technician)
        sent(client, "post", "api_slots", self.body(cast))
        answer = sent(client, "post", "api_slots_weekly", self.body(cast, weeks=2, start="20:30"))
        assert answer.status_code == 201, answer.content
        assert len(answer.json()["made"]) == 1
        (left_out,) = answer.json()["left_out"]
        assert left_out["reason"].startswith("Tall kiln is taken")

    @pytest.mark.parametrize(
        ("changed", "status", "field"),
        [
            ({"start": "23:00"}, 422, "start"),
            ({"start": "noon"}, 400, "start"),
            ({"on": "1999-01-01"}, 422, "on"),
            ({"kiln": "00000000-0000-4000-8000-000000000000"}, 400, "kiln"),
        ],
    )
    def test_what_is_refused_names_its_field(
        self, cast: School, changed: dict[str, Any], status: int, field: str
    ) -> None:
        answer = sent(signed_in(cast.teacher), "post", "api_slots", self.body(cast, **changed))
        assert (answer.status_code, fields(answer)) == (status, [field]), answer.content
