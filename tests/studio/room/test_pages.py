"""The list of clay bodies, as a browser uses it, and its API."""

from html import unescape
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from studio.room.models import ClayBody
from tests.cast import School, signed_in
from tests.planning.projects import BODY, a_body

pytestmark = pytest.mark.django_db


def shown(client: Client, path: str, data: dict[str, Any] | None = None) -> str:
    answer = client.get(path) if data is None else client.post(path, data, follow=True)
    assert answer.status_code == 200, answer.status_code
    return " ".join(unescape(answer.content.decode()).replace("\xa0", " ").split())


class TestThePages:
    def test_an_empty_list_says_what_to_do(self, cast: School) -> None:
        assert "No clay body yet" in shown(signed_in(cast.technician), reverse("bodies"))

    def test_a_technician_adds_changes_and_retires_one(self, cast: School) -> None:
        client = signed_in(cast.technician)
        page = shown(client, reverse("body_new"), BODY)
        assert "Grogged stoneware is on the list" in page
        assert "Shrinks 6% in drying, 10.5% in all from wet to fired. 1.95 g/cm³ wet." in page
        body = ClayBody.objects.get()
        edit = reverse("body_edit", args=[body.pk])
        assert 'value="21"' in shown(client, edit)
        shown(client, edit, BODY | {"water_pct_wet_basis": "22.5"})
        shown(client, reverse("body_retire", args=[body.pk]), {})
        body.refresh_from_db()
        assert (str(body.water_pct_wet_basis), body.retired) == ("22.50", True)
        page = shown(client, reverse("body_bring_back", args=[body.pk]), {})
        assert "is offered again" in page

    @pytest.mark.parametrize(
        ("changed", "says"),
        [
            ({"total_shrinkage_pct": "5"}, "at least the drying shrinkage"),
            ({"wet_density_g_per_cm3": "1950"}, "less than or equal to 3"),
            ({"wet_density_g_per_cm3": "1,95"}, "not a number. Type one such as 12.5"),
            ({"water_pct_wet_basis": "nan"}, "not a number"),
            ({"water_pct_wet_basis": "1e-400"}, "no more than 2 decimal places"),
            ({"name": "a\0"}, "Null characters"),
            ({"name": ""}, "This can't stay empty"),
            ({"source": ""}, "This can't stay empty"),
            ({"cone": "cone 6"}, "at most 4 characters"),
        ],
    )
    def test_what_is_refused_stands_at_its_field(
        self, cast: School, changed: dict[str, str], says: str
    ) -> None:
        page = shown(signed_in(cast.teacher), reverse("body_new"), BODY | changed)
        assert says in page
        assert f'href="#id_{next(iter(changed))}"' in page
        assert not ClayBody.objects.exists()

    def test_a_name_twice_is_refused(self, cast: School) -> None:
        a_body(cast.teacher)
        assert "of this name already" in shown(signed_in(cast.head), reverse("body_new"), BODY)

    def test_students_see_none_of_it_and_other_studios_nothing(self, cast: School) -> None:
        path = reverse("body_edit", args=[a_body(cast.teacher).pk])
        assert signed_in(cast.student).get(path).status_code == 403
        assert signed_in(cast.elsewhere.head).get(path).status_code == 404


SENT: dict[str, Any] = {
    name: value if name in {"name", "cone", "source"} else float(value)
    for name, value in BODY.items()
}


class TestTheApi:
    def test_staff_list_add_and_change(self, cast: School) -> None:
        client = signed_in(cast.technician)
        made = client.post(reverse("api_clay_bodies"), SENT, content_type="application/json")
        assert made.status_code == 201, made.content
        one = reverse("api_clay_body", args=[made.json()["id"]])
        changed = client.patch(one, {"retired": True, "cone": "5"}, content_type="application/json")
        assert (changed.json()["retired"], changed.json()["cone"]) == (True, "5")
        assert client.get(one).json() == changed.json()
        assert changed.json()["wet_density_g_per_cm3"] == 1.95
        listed = client.get(reverse("api_clay_bodies")).json()
        assert [each["name"] for each in listed["results"]] == ["Grogged stoneware"]
        back = client.patch(one, {"retired": False}, content_type="application/json")
        assert back.json()["retired"] is False

    @pytest.mark.parametrize(
        ("changed", "status", "field"),
        [
            ({"total_shrinkage_pct": 5}, 422, "total_shrinkage_pct"),
            ({"wet_density_g_per_cm3": "1.95"}, 400, "wet_density_g_per_cm3"),
            ({"wet_density_g_per_cm3": 1e300}, 400, "wet_density_g_per_cm3"),
            ({"wet_density_g_per_cm3": 0.9}, 400, "wet_density_g_per_cm3"),
            ({"water_pct_wet_basis": 20.123}, 422, "water_pct_wet_basis"),
            ({"name": "a\0b"}, 400, "name"),
            ({"name": ["x"]}, 400, "name"),
            ({"source": None}, 400, "source"),
        ],
    )
    def test_what_is_refused_names_its_field(
        self, cast: School, changed: dict[str, Any], status: int, field: str
    ) -> None:
        client = signed_in(cast.teacher)
        answer = client.post(
            reverse("api_clay_bodies"), SENT | changed, content_type="application/json"
        )
        assert answer.status_code == status, answer.content
        assert [each["field"] for each in answer.json()["errors"]] == [field]
        assert not ClayBody.objects.exists()

    def test_a_name_twice_is_refused(self, cast: School) -> None:
        a_body(cast.teacher)
        answer = signed_in(cast.head).post(
            reverse("api_clay_bodies"), SENT, content_type="application/json"
        )
        assert answer.status_code == 422
        assert answer.json()["errors"][0]["field"] == "name"

    def test_students_are_refused(self, cast: School) -> None:
        a_body(cast.teacher)
        client = signed_in(cast.student)
        assert client.get(reverse("api_clay_bodies")).status_code == 403
        assert (
            client.post(
                reverse("api_clay_bodies"), SENT, content_type="application/json"
            ).status_code
            == 403
        )
