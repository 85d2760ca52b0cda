"""The compute API of a plan: what it answers, and that nothing sent to it breaks it."""

import json
from typing import Any

import pytest
from django.test import Client

from planning.api.compute import PlanCompute
from tests.cast import School, signed_in

FRUSTUM: dict[str, Any] = {
    "profile": [
        {"height_mm": 0, "left_mm": 60, "right_mm": 60},
        {"height_mm": 150, "radius_mm": 100},
    ],
    "outline": {"shape": "round"},
    "drawn_as": "wet",
    "wall_mm": 8,
    "base_mm": 10,
    "corner_coil_mm": 8,
    "coil_mm": 14,
    "rows_per_blend": 2,
    "working_allowance_pct": 20,
    "tolerance_mm": 5,
    "tolerance_pct": 3,
    "body": {
        "wet_density_g_per_cm3": 1.95,
        "water_pct_wet_basis": 21,
        "drying_shrinkage_pct": 6,
        "total_shrinkage_pct": 12,
        "loss_on_ignition_pct": 6,
    },
}
ADDRESS = "/api/compute/plan/"


def post(client: Client, body: Any) -> Any:
    sent = body if isinstance(body, str | bytes) else json.dumps(body)
    return client.post(ADDRESS, sent, content_type="application/json")


def changed(path: str, value: Any) -> dict[str, Any]:
    """FRUSTUM with one value set; `None` takes the key out."""
    body: dict[str, Any] = json.loads(json.dumps(FRUSTUM))
    *way, last = path.split(".")
    inner: Any = body
    for step in way:
        inner = inner[int(step) if step.isdigit() else step]
    if value is None:
        del inner[last]
    else:
        inner[int(last) if last.isdigit() else last] = value
    return body


def fields(response: Any) -> dict[str, str]:
    return {each["field"]: each["detail"] for each in response.json()["errors"]}


def test_a_frustum_is_answered_exactly(client_of_nobody: Client) -> None:
    answer = post(client_of_nobody, FRUSTUM).json()
    # A frustum's volume πh(R² + Rr + r²)/3, and the cone offset along its normal by t / cos.
    slant = (150**2 + 40**2) ** 0.5
    inner = [60 + 40 * z / 150 - 8 * slant / 150 for z in (10, 150)]
    outer = 3.141592653589793 * 150 * (60**2 + 60 * 100 + 100**2) / 3
    cavity = 3.141592653589793 * 140 * (inner[0] ** 2 + inner[0] * inner[1] + inner[1] ** 2) / 3
    corner = 3.141592653589793**2 * 8**2 / 4 * 2 * inner[0]
    assert answer["capacity_cm3"] == pytest.approx(cavity / 1000, rel=1e-9)
    total = (outer - cavity + corner) / 1000
    assert answer["volume_cm3"]["total"] == pytest.approx(total, rel=1e-9)
    assert answer["clay_g"]["pot_wet"] == pytest.approx(total * 1.95, rel=1e-9)
    assert answer["size_mm"]["fired"] == pytest.approx({"height": 132, "front": 176, "depth": 176})
    assert answer["height_lines"][-1]["height_mm"] == 150
    without = post(client_of_nobody, changed("coil_mm", None)).json()
    assert {"coil_mm", "rows", "rests"}.isdisjoint(without)
    assert without["clay_g"] == answer["clay_g"]


def test_an_oval_takes_its_depth_ratio_and_a_taper_is_read(client_of_nobody: Client) -> None:
    body = changed("outline", {"shape": "oval", "depth_ratio": 0.7})
    body["wall_mm"] = {"base": 9, "rim": 7}
    body["side_profile"] = [
        {"height_mm": 0, "front_mm": 40, "back_mm": 44},
        {"height_mm": 150, "radius_mm": 60},
    ]
    body["line_spacing_mm"] = 25.4
    answer = post(client_of_nobody, body).json()
    assert answer["size_mm"]["wet"] == pytest.approx({"height": 150, "front": 200, "depth": 120})
    assert answer["height_lines"][1]["height_mm"] == pytest.approx(25.4)
    del body["side_profile"]
    answer = post(client_of_nobody, body).json()
    assert answer["size_mm"]["wet"]["depth"] == pytest.approx(140)


def test_whoever_is_signed_out_is_sent_away(client: Client, db: None) -> None:
    assert post(client, FRUSTUM).status_code == 401


@pytest.mark.parametrize(
    ("path", "value", "field"),
    [
        ("base_mm", True, "base_mm"),
        ("base_mm", "10", "base_mm"),
        ("base_mm", [], "base_mm"),
        ("base_mm", {}, "base_mm"),
        ("base_mm", 1e300, "base_mm"),
        ("base_mm", 10**400, "base_mm"),
        ("wall_mm", "x", "wall_mm"),
        ("wall_mm", {"base": 8}, "wall_mm.rim"),
        ("wall_mm", {"base": 8, "rim": True}, "wall_mm.rim"),
        ("body.water_pct_wet_basis", None, "body.water_pct_wet_basis"),
        ("body", 3, "body"),
        ("outline.shape", "star", "outline.shape"),
        ("outline.shape", ["round"], "outline.shape"),
        ("outline", {"shape": "oval"}, "outline.depth_ratio"),
        ("outline", {"shape": "leaf"}, "outline.depth_ratio"),
        ("outline", {"shape": "rounded_square"}, "outline.corner_ratio"),
        ("outline", {"shape": "traced"}, "outline.points"),
        ("outline", {"shape": "traced", "points": "0,0"}, "outline.points"),
        ("outline", {"shape": "traced", "points": [[0, 0]] * 401}, "outline.points"),
        ("outline", {"shape": "traced", "points": [[0, 0], [1]]}, "outline.points.1"),
        ("outline", {"shape": "traced", "points": [[0, 0], [1, "1"]]}, "outline.points.1"),
        ("drawn_as", "dry", "drawn_as"),
        ("profile", [], "profile"),
        ("profile", {"height_mm": 0}, "profile"),
        ("profile", [{"height_mm": 0, "radius_mm": 5}] * 401, "profile"),
        ("profile.1", 7, "profile.1"),
        ("profile.1", {"height_mm": 150, "left_mm": 100}, "profile.1.right_mm"),
        ("profile.0", {"height_mm": 0, "left_mm": 6, "radius_mm": 6}, "profile.0.radius_mm"),
        ("rim_outline", 3, "rim_outline"),
        ("rim_outline", {"shape": "oval"}, "rim_outline.depth_ratio"),
        ("coil_mm", "14", "coil_mm"),
        ("rows_per_blend", 0, "rows_per_blend"),
        ("rows_per_blend", 7, "rows_per_blend"),
    ],
)
def test_a_wrong_shape_is_a_400_that_names_the_field(
    client_of_nobody: Client, path: str, value: Any, field: str
) -> None:
    response = post(client_of_nobody, changed(path, value))
    assert response.status_code == 400
    assert response["Content-Type"] == "application/problem+json"
    assert field in fields(response)


@pytest.mark.parametrize(
    ("path", "value", "field", "words"),
    [
        ("wall_mm", 0, "wall_mm", "more than 0"),
        ("wall_mm", {"base": 8, "rim": -1}, "wall_mm.rim", "more than 0"),
        ("wall_mm", 110, "wall_mm", "no hollow is left"),
        ("base_mm", 150, "base_mm", "Make the base thinner"),
        ("profile.1.height_mm", -5, "profile.1.height_mm", "Height line 2"),
        ("profile.1.height_mm", 2500, "profile.1.height_mm", "too much"),
        ("profile.1.radius_mm", -5, "profile.1.radius_mm", "crosses the axis"),
        ("profile.0.left_mm", 0, "profile.0.left_mm", "crosses the axis"),
        ("outline", {"shape": "oval", "depth_ratio": 11}, "outline.depth_ratio", "depth"),
        ("rim_outline", {"shape": "leaf", "depth_ratio": 2}, "rim_outline.depth_ratio", "depth"),
        (
            "outline",
            {"shape": "traced", "points": [[0, 0], [2, 2], [2, 0], [0, 2]]},
            "outline.points.2",
            "crosses itself",
        ),
        ("coil_mm", 1, "coil_mm", "between 3 mm and 100 mm"),
        ("body.loss_on_ignition_pct", -1, "body.loss_on_ignition_pct", "between"),
    ],
)
def test_a_form_that_is_no_pot_is_refused_at_its_field(
    client_of_nobody: Client, path: str, value: Any, field: str, words: str
) -> None:
    response = post(client_of_nobody, changed(path, value))
    assert response.status_code == 422
    assert response["Content-Type"] == "application/problem+json"
    assert words in fields(response)[field]


@pytest.mark.parametrize("path", ["outline.shape", "drawn_as"])
def test_half_a_character_is_a_400_that_says_so(client_of_nobody: Client, path: str) -> None:
    response = post(client_of_nobody, changed(path, "dry\ud800"))
    assert response.status_code == 400
    assert response["Content-Type"] == "application/problem+json"
    assert response.json()["detail"] == "A character in this is cut in two. Send plain UTF-8."


def test_a_radius_that_crosses_the_axis_is_named_once(client_of_nobody: Client) -> None:
    response = post(client_of_nobody, changed("profile.1.radius_mm", -5))
    assert len(response.json()["errors"]) == 1


@pytest.mark.parametrize(
    "body",
    [
        "",
        "{",
        "null",
        "[]",
        "3",
        '"text"',
        "\x00",
        b"\xff\xfe",
        b"\xc3\x28",
        json.dumps(FRUSTUM).replace('"base_mm": 10', '"base_mm": NaN'),
        json.dumps(FRUSTUM).replace('"base_mm": 10', '"base_mm": -Infinity'),
        json.dumps(FRUSTUM).replace('"base_mm": 10', '"base_mm": 1e999'),
        json.dumps(FRUSTUM).replace('"base_mm": 10', '"base_mm": ' + "9" * 5000),
        "[" * 100_000 + "]" * 100_000,
        '{"profile":' * 20_000,
    ],
)
def test_what_is_not_a_plan_in_json_is_a_400(client_of_nobody: Client, body: Any) -> None:
    response = post(client_of_nobody, body)
    assert response.status_code == 400
    assert response["Content-Type"] == "application/problem+json"


def test_a_body_that_is_too_large_is_a_413(client_of_nobody: Client) -> None:
    response = post(client_of_nobody, " " * (256 * 1024 + 1))
    assert response.status_code == 413
    assert "256 kB" in response.json()["detail"]


def test_one_person_computes_two_at_a_time_and_hears_when_to_ask_again(
    client_of_nobody: Client, cast: School
) -> None:
    with PlanCompute.slots.taken_by(cast.nobody.pk), PlanCompute.slots.taken_by(cast.nobody.pk):
        full = post(client_of_nobody, FRUSTUM)
        others = signed_in(cast.student).post(ADDRESS, FRUSTUM, content_type="application/json")
    assert (full.status_code, full.headers["Retry-After"]) == (503, "1")
    assert full.json()["detail"] == "Too much is being computed at once. Try again in a moment."
    assert others.status_code == 200
    assert post(client_of_nobody, FRUSTUM).status_code == 200
