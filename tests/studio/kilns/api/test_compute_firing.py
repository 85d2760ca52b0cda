"""The compute API of a firing: what it answers, and that nothing sent to it breaks it."""

import json
from math import exp, log
from typing import Any

import pytest
from django.test import Client

from studio.kilns.api.compute_firing import FiringCompute
from tests.cast import School, signed_in

ADDRESS = "/api/compute/firing/"
CONE_6: dict[str, Any] = {
    "start_c": 20,
    "segments": [
        {"rate_c_per_h": 100, "target_c": 600, "hold_min": 0},
        {"rate_c_per_h": 60, "target_c": 1222, "hold_min": 0},
    ],
    "cone_type": "self_supporting_regular",
}
ENERGY: dict[str, Any] = {
    "wall": {
        "area_m2": 2.4,
        "thickness_mm": 115,
        "conductivity_w_per_m_k": 0.25,
        "density_kg_per_m3": 600,
        "heat_capacity_j_per_kg_k": 1000,
    },
    "load": {"mass_kg": 80, "heat_capacity_j_per_kg_k": 1000},
    "power_kw": 9,
    "price_per_kwh": 0.3,
}


@pytest.fixture
def client_of_nobody(client: Client, cast: School) -> Client:
    """Signed in with an account that belongs to no studio."""
    client.force_login(cast.nobody)
    return client


def post(client: Client, body: Any) -> Any:
    sent = body if isinstance(body, str | bytes) else json.dumps(body)
    return client.post(ADDRESS, sent, content_type="application/json")


def fields(response: Any) -> dict[str, str]:
    return {each["field"]: each["detail"] for each in response.json()["errors"]}


def test_a_program_is_answered_with_its_hours_and_its_cone(client_of_nobody: Client) -> None:
    """580/100 + 622/60 h; cone 6 is down at 1222 °C for 60 °C/h (the maker's chart)."""
    answer = post(client_of_nobody, CONE_6).json()
    assert answer["duration_h"] == pytest.approx(5.8 + 622 / 60)
    assert answer["segments"][0] == {"start_h": 0, "end_h": pytest.approx(5.8)}
    assert (answer["peak_c"], answer["cone"]) == (1222, "6")
    assert answer["cone_position"] == pytest.approx(0, abs=0.01)
    assert answer["end_point_c_at_60"] == pytest.approx(1222, abs=0.1)
    assert answer["chart"] == {
        "edition": "2016",
        "cone_type": "self_supporting_regular",
        "rate_c_per_h": pytest.approx(60),
    }
    assert (answer["cooling"], answer["energy"], answer["witness_offset_c"]) == (None, None, None)
    (warning,) = answer["warnings"]
    assert warning["code"] == "witness_decides"
    assert warning["source"]


def test_a_hold_is_counted_and_said(client_of_nobody: Client) -> None:
    held = CONE_6 | {"segments": [{"rate_c_per_h": 60, "target_c": 1200, "hold_min": 35}]}
    answer = post(client_of_nobody, held).json()
    assert answer["cone"] == "6"
    assert answer["climb_cone"] == "5"
    assert answer["end_point_c_at_60"] == pytest.approx(1200 + answer["holds_add_c"], abs=0.1)
    assert "holds_add" in {each["code"] for each in answer["warnings"]}


def test_holds_and_the_kind_may_be_left_out(client_of_nobody: Client) -> None:
    short = {"start_c": 20, "segments": [{"rate_c_per_h": 60, "target_c": 998}]}
    assert post(client_of_nobody, short).json()["cone"] == "06"


def test_below_the_chart_there_is_no_cone(client_of_nobody: Client) -> None:
    cold = CONE_6 | {"segments": [{"rate_c_per_h": 60, "target_c": 400, "hold_min": 0}]}
    answer = post(client_of_nobody, cold).json()
    assert (answer["cone"], answer["cone_position"]) == (None, 0)
    never = CONE_6 | {"segments": [{"rate_c_per_h": 60, "target_c": 0, "hold_min": 0}]}
    assert post(client_of_nobody, never).json()["end_point_c_at_60"] is None


class TestCooling:
    def test_a_given_constant_is_taken(self, client_of_nobody: Client) -> None:
        """Newton: 6 ln(1202/30) h down to 50 °C, which is what is taken unless it is said."""
        asked = CONE_6 | {"cooling": {"room_c": 20, "time_constant_h": 6}}
        answer = post(client_of_nobody, asked).json()
        cooled = answer["cooling"]
        assert cooled["cooling_h"] == pytest.approx(6 * log(1202 / 30))
        assert cooled["unload_h"] == pytest.approx(answer["duration_h"] + cooled["cooling_h"])

    def test_logged_curves_are_learned_from(self, client_of_nobody: Client) -> None:
        read = [{"at_h": n, "temp_c": 20 + 900 * exp(-n / 8)} for n in range(0, 20, 2)]
        asked = CONE_6 | {"cooling": {"room_c": 20, "logged": [{"readings": read}]}}
        cooled = post(client_of_nobody, asked).json()["cooling"]
        assert cooled["time_constant_h"] == pytest.approx(8, rel=1e-3)
        assert cooled["firings"] == 1

    def test_without_either_the_stated_value_stands(self, client_of_nobody: Client) -> None:
        cooled = post(client_of_nobody, CONE_6 | {"cooling": {"room_c": 20}}).json()["cooling"]
        assert (cooled["time_constant_h"], cooled["firings"]) == (7, 0)

    def test_a_kiln_that_never_gets_so_cool_is_refused_at_that_field(
        self, client_of_nobody: Client
    ) -> None:
        response = post(client_of_nobody, CONE_6 | {"cooling": {"room_c": 55}})
        assert response.status_code == 422
        assert "so it never gets down to 50" in fields(response)["cooling.unload_below_c"]


def test_energy_comes_with_its_uncertainty_and_its_cost(client_of_nobody: Client) -> None:
    """A quarter before a firing was metered, a tenth after (derived from trials)."""
    answer = post(client_of_nobody, CONE_6 | {"energy": ENERGY}).json()
    used = answer["energy"]
    assert used["likely_kwh"] == pytest.approx(used["load_kwh"] + used["wall_kwh"])
    assert used["high_kwh"] == pytest.approx(used["likely_kwh"] * 1.25)
    assert used["cost"] == pytest.approx(used["likely_kwh"] * 0.3)
    assert used["low_cost"] == pytest.approx(used["likely_kwh"] * 0.75 * 0.3)
    metered = ENERGY | {"metered_over_computed": [0.9], "power_kw": 2}
    del metered["price_per_kwh"]
    answer = post(client_of_nobody, CONE_6 | {"energy": metered}).json()
    assert answer["energy"]["likely_kwh"] == pytest.approx(used["likely_kwh"] * 0.9)
    assert answer["energy"]["uncertainty_pct"] == 10
    assert answer["energy"]["cost"] is None
    said = [each["message"] for each in answer["warnings"] if each["code"] == "needs_more_power"]
    assert len(said) == 2
    assert "the kiln has 2.0\xa0kW" in said[0]


def test_the_ware_is_looked_at(client_of_nobody: Client) -> None:
    """Thick damp ware over 60 °C/h; (573 - 20)/7 h is 79 °C/h past quartz; a body for cone 5."""
    ware = {"thickest_mm": 18, "body_cone": "5", "glaze_cone": "6"}
    asked = CONE_6 | {"ware": ware, "cooling": {"room_c": 20}}
    codes = [each["code"] for each in post(client_of_nobody, asked).json()["warnings"]]
    assert codes == ["witness_decides", "damp_ramp", "hotter_than_body", "quartz_cooling"]


def test_witness_cones_say_by_how_much_the_kiln_is_off(client_of_nobody: Client) -> None:
    """Cone 7 half bent: half of the way from 1222 to 1239 °C at 60 °C/h."""
    asked = CONE_6 | {"witness": [{"cone": "6", "bent": 1}, {"cone": "7", "bent": 0.5}]}
    answer = post(client_of_nobody, asked).json()
    assert answer["witness_offset_c"] == pytest.approx(8.5, abs=0.5)


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"start_c": None}, "start_c"),
        ({"start_c": "20"}, "start_c"),
        ({"start_c": True}, "start_c"),
        ({"start_c": 10**400}, "start_c"),
        ({"segments": None}, "segments"),
        ({"segments": 3}, "segments"),
        ({"segments": [3]}, "segments.0"),
        ({"segments": [{"rate_c_per_h": 60}]}, "segments.0.target_c"),
        ({"segments": [{"rate_c_per_h": "60", "target_c": 900}]}, "segments.0.rate_c_per_h"),
        ({"segments": [{"rate_c_per_h": 60, "target_c": 900}] * 65}, "segments"),
        ({"cone_type": "glass"}, "cone_type"),
        ({"cone_type": ["large_regular"]}, "cone_type"),
        ({"ware": 3}, "ware"),
        ({"ware": {"thickest_mm": 0}}, "ware.thickest_mm"),
        ({"ware": {"body_cone": 6}}, "ware.body_cone"),
        ({"ware": {"glaze_cone": "6a"}}, "ware.glaze_cone"),
        ({"cooling": {}}, "cooling.room_c"),
        ({"cooling": {"room_c": 20, "time_constant_h": 0}}, "cooling.time_constant_h"),
        ({"cooling": {"room_c": 20, "logged": [{}]}}, "cooling.logged.0.readings"),
        ({"energy": {}}, "energy.wall"),
        ({"energy": ENERGY | {"power_kw": 0}}, "energy.power_kw"),
        ({"energy": ENERGY | {"load": {"mass_kg": 5}}}, "energy.load.heat_capacity_j_per_kg_k"),
        ({"witness": [{"cone": "6", "bent": 2}]}, "witness.0.bent"),
        ({"witness": [{"cone": "6"}]}, "witness.0.bent"),
    ],
)
def test_a_wrong_shape_is_a_400_that_names_the_field(
    client_of_nobody: Client, changed: dict[str, Any], field: str
) -> None:
    response = post(client_of_nobody, CONE_6 | changed)
    assert response.status_code == 400
    assert response["Content-Type"] == "application/problem+json"
    assert field in fields(response)


@pytest.mark.parametrize(
    ("changed", "field", "words"),
    [
        ({"segments": []}, "segments", "at least one segment"),
        ({"start_c": -80}, "start_c", "colder than any kiln room"),
        (
            {"segments": [{"rate_c_per_h": 0, "target_c": 900}]},
            "segments.0.rate_c_per_h",
            "more than 0",
        ),
        (
            {"segments": [{"rate_c_per_h": 60, "target_c": 2232}]},
            "segments.0.target_c",
            "hotter than any kiln",
        ),
        (
            {"segments": [{"rate_c_per_h": 60, "target_c": 900, "hold_min": -1}]},
            "segments.0.hold_min",
            "less than 0",
        ),
        (
            {"segments": [{"rate_c_per_h": 0.01, "target_c": 900}]},
            "segments.0.rate_c_per_h",
            "too long",
        ),
    ],
)
def test_a_program_that_is_none_is_refused_at_its_field(
    client_of_nobody: Client, changed: dict[str, Any], field: str, words: str
) -> None:
    response = post(client_of_nobody, CONE_6 | changed)
    assert response.status_code == 422
    assert words in fields(response)[field]


@pytest.mark.parametrize("body", ["", "{", "null", "[]", b"\xff", '{"segments":' * 20_000])
def test_what_is_no_program_in_json_is_a_400(client_of_nobody: Client, body: Any) -> None:
    assert post(client_of_nobody, body).status_code == 400


def test_one_person_computes_two_at_a_time(client_of_nobody: Client, cast: School) -> None:
    with FiringCompute.slots.taken_by(cast.nobody.pk), FiringCompute.slots.taken_by(cast.nobody.pk):
        full = post(client_of_nobody, CONE_6)
        others = post(signed_in(cast.student), CONE_6)
    assert (full.status_code, full.headers["Retry-After"]) == (503, "1")
    assert others.status_code == 200


def test_whoever_is_signed_out_is_sent_away(client: Client, db: None) -> None:
    assert post(client, CONE_6).status_code == 401
