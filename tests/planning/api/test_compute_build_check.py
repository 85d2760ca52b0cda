"""The compute API of build checks: darts by hand, and refusals at the fields that were sent."""

import json
import math
from typing import Any

import pytest
from django.test import Client

from planning.api.compute import PlanCompute
from tests.cast import School
from tests.planning.api.test_compute import FRUSTUM, fields

ADDRESS = "/api/compute/build-check/"
CYLINDER = FRUSTUM | {
    "profile": [{"height_mm": height, "radius_mm": 50} for height in (0, 150)],
}
SOFT_AND_WIDE = [
    {"height_mm": 140, "front_mm": 112, "depth_mm": 112, "state": "soft"},
    {"height_mm": 60, "perimeter_mm": 100 * math.pi, "state": "soft"},
    {"height_mm": 30, "front_mm": 97, "state": "stiff"},
]


def post(client: Client, measured: Any = SOFT_AND_WIDE, **plan: Any) -> Any:
    sent = json.dumps({"plan": CYLINDER | plan, "measured": measured})
    return client.post(ADDRESS, sent, content_type="application/json")


def test_darts_are_those_reckoned_by_hand(client_of_nobody: Client) -> None:
    checks = post(client_of_nobody).json()["checks"]
    assert [each["height_mm"] for each in checks] == [140, 60, 30]
    assert [each["action"] for each in checks] == ["dart", "within", "within"]
    assert [each["deviation_mm"] for each in checks] == pytest.approx([12, 0, 0], abs=1e-6)
    # 12 mm too wide is 12π = 37.7 mm too much all round: four darts of 9.4 mm. Straight between
    # the two places 12 mm fall to the 5 mm that are near enough over 80 mm · 7 / 12 = 46.7 mm.
    assert checks[0]["darts"]["count"] == 4
    assert checks[0]["darts"]["width_mm"] == pytest.approx(12 * math.pi / 4)
    assert checks[0]["darts"]["length_mm"] == pytest.approx(80 * 7 / 12)
    assert checks[0]["message"].startswith(
        "12\N{NO-BREAK SPACE}mm too wide here. Cut 4 darts, evenly spaced"
    )
    assert checks[1]["darts"] is None
    # Between 6 % dried and wet, 94 to 100 mm, stiff clay is right.
    assert "from 94\N{NO-BREAK SPACE}mm to 100\N{NO-BREAK SPACE}mm" in checks[2]["message"]


def test_the_tolerance_is_the_one_sent_with_the_plan(client_of_nobody: Client) -> None:
    measured = SOFT_AND_WIDE[:1]
    wide = post(client_of_nobody, measured, tolerance_mm=12).json()["checks"]
    assert wide[0]["action"] == "within"


@pytest.mark.parametrize(
    ("measured", "field"),
    [
        ([], "measured"),
        ({}, "measured"),
        (SOFT_AND_WIDE * 67, "measured"),
        ([3], "measured.0"),
        ([{"height_mm": "x", "front_mm": 100, "state": "soft"}], "measured.0.height_mm"),
        ([{"height_mm": 50, "front_mm": 100, "state": "damp"}], "measured.0.state"),
        ([{"height_mm": 50, "front_mm": 100}], "measured.0.state"),
    ],
)
def test_a_wrong_measurement_is_a_400_that_names_the_field(
    client_of_nobody: Client, measured: Any, field: str
) -> None:
    response = post(client_of_nobody, measured)
    assert response.status_code == 400
    assert field in fields(response)


@pytest.mark.parametrize(
    ("measured", "plan", "field", "words"),
    [
        ([{"height_mm": 50, "state": "soft"}], {}, "measured.0.front_mm", "the way round"),
        (
            [*SOFT_AND_WIDE, {"height_mm": 400, "front_mm": 100, "state": "soft"}],
            {},
            "measured.3.height_mm",
            "The plan ends at 150\N{NO-BREAK SPACE}mm",
        ),
        (SOFT_AND_WIDE, {"tolerance_mm": 60}, "plan.tolerance_mm", "between 0 and 50"),
        (SOFT_AND_WIDE, {"wall_mm": 0}, "plan.wall_mm", "more than 0"),
    ],
)
def test_what_cannot_be_compared_is_refused_at_its_field(
    client_of_nobody: Client, measured: Any, plan: dict[str, Any], field: str, words: str
) -> None:
    response = post(client_of_nobody, measured, **plan)
    assert response.status_code == 422
    assert response["Content-Type"] == "application/problem+json"
    assert words in fields(response)[field]


def test_a_wrong_plan_is_named_within_the_plan(client_of_nobody: Client) -> None:
    response = post(client_of_nobody, outline={"shape": "traced"})
    assert response.status_code == 400
    assert "plan.outline.points" in fields(response)


def test_plans_and_build_checks_share_their_bound(client_of_nobody: Client, cast: School) -> None:
    with PlanCompute.slots.taken_by(cast.nobody.pk), PlanCompute.slots.taken_by(cast.nobody.pk):
        full = post(client_of_nobody)
    assert (full.status_code, full.headers["Retry-After"]) == (503, "1")


def test_whoever_is_signed_out_is_sent_away(client: Client, db: None) -> None:
    assert post(client).status_code == 401
