"""Outlines and rows of the compute API against arithmetic by hand on upright walls."""

import math
from typing import Any

import pytest
from django.test import Client
from scipy.special import ellipe

from tests.planning.api.test_compute import FRUSTUM, fields, post

SQUARE = [[0, 0], [1, 0], [1, 1], [0, 1]]
ROUNDED_OFF = 1e-4
"""Of a way round: the geometry adds it up from short pieces."""


def upright(outline: dict[str, Any], **more: Any) -> dict[str, Any]:
    """A pot with a straight wall: 100 mm wide, 150 mm high, wall 6 mm, base 10 mm."""
    heights = ({"height_mm": height, "radius_mm": 50} for height in (0, 150))
    return FRUSTUM | {"profile": list(heights), "outline": outline, "wall_mm": 6} | more


def test_the_rows_of_an_oval_cylinder_are_those_reckoned_by_hand(
    client_of_nobody: Client,
) -> None:
    body = upright({"shape": "oval", "depth_ratio": 0.6}, coil_mm=12)
    # Wide enough for a hand up to the rim.
    body["profile"] = [{"height_mm": height, "radius_mm": 100} for height in (0, 150)]
    answer = post(client_of_nobody, body).json()
    # 140 mm of wall 6 mm thick are 840 mm²; a 12 mm coil has 113 mm², so 7.4 rows: 7 are nearer.
    assert answer["coil_mm"] == pytest.approx(math.sqrt(4 * 840 / 7 / math.pi), rel=ROUNDED_OFF)
    rows = answer["rows"]
    assert [row["row"] for row in rows] == [1, 2, 3, 4, 5, 6, 7]
    assert [row["height_mm"] for row in rows] == pytest.approx(
        [30, 50, 70, 90, 110, 130, 150], rel=ROUNDED_OFF
    )
    assert [row["front_mm"] for row in rows] == pytest.approx([200] * 7)
    assert [row["depth_mm"] for row in rows] == pytest.approx([120] * 7)
    # An ellipse is 4 a E(1 - b²/a²) long, a curve d inside a convex one 2πd shorter (Steiner).
    around = 4 * 100 * ellipe(1 - 0.6**2) - 2 * math.pi * 3
    for row in rows:
        assert row["perimeter_mm"] == pytest.approx(around, rel=ROUNDED_OFF)
        assert row["coil_length_mm"] == pytest.approx(
            around + 1.5 * answer["coil_mm"], rel=ROUNDED_OFF
        )
        assert row["coil_g"] == pytest.approx(around * 120 / 1000 * 1.95, rel=ROUNDED_OFF)
    wall_g = answer["volume_cm3"]["wall"] * 1.95
    assert sum(row["coil_g"] for row in rows) == pytest.approx(wall_g)
    # A quarter on from row to row; blended every second row and at the rim; after 120 mm of wall
    # the lower part stiffens (common practice, no source).
    assert [row["seam_clock"] for row in rows] == [0, 3, 6, 9, 0, 3, 6]
    assert [row["row"] for row in rows if row["blend"]] == [2, 4, 6, 7]
    assert [(rest["after_row"], rest["reason"]) for rest in answer["rests"]] == [(6, "stiffen")]
    assert answer["rests"][0]["message"].startswith("Rest after row 6 until the wall below")


def test_what_is_said_of_the_coil_stands_among_the_warnings(client_of_nobody: Client) -> None:
    answer = post(client_of_nobody, upright({"shape": "round"}, coil_mm=6)).json()
    said = {each["code"]: each["message"] for each in answer["warnings"]}
    # 840 mm² in coils of 28.3 mm² are 29.7 rows: 30 of 5.97 mm; 1.25 times the wall is 7.5.
    assert said["coil_thin"].startswith("A coil of 6\N{NO-BREAK SPACE}mm is thin for a wall of ")
    assert said["coil_thin"].endswith("Roll coils of 8\N{NO-BREAK SPACE}mm or more.")


def test_too_many_rows_are_refused_at_the_coil_with_a_coil_that_will_do(
    client_of_nobody: Client,
) -> None:
    body = upright({"shape": "round"}, coil_mm=3, wall_mm=20)
    body["profile"] = [{"height_mm": h, "radius_mm": 100} for h in (0, 1500)]
    refused = post(client_of_nobody, body)
    assert refused.status_code == 422
    # 1490 mm of a 20 mm wall in 300 rows are 99.3 mm² each: a coil of 11.25 mm, so 12 by a ruler.
    sentence = fields(refused)["coil_mm"].replace("\N{NO-BREAK SPACE}", " ")
    assert sentence.startswith("Coils of 3 mm make 42")
    assert sentence.endswith("rows. Roll them 12 mm thick or more.")
    assert post(client_of_nobody, body | {"coil_mm": 12}).status_code == 200


@pytest.mark.parametrize(
    "outline",
    [
        {"shape": "rounded_square", "corner_ratio": 0},
        {"shape": "traced", "points": SQUARE},
        {"shape": "traced", "points": [*SQUARE[::-1], SQUARE[-1]]},
    ],
)
def test_a_square_box_holds_its_inner_sides_times_its_height(
    client_of_nobody: Client, outline: dict[str, Any]
) -> None:
    answer = post(client_of_nobody, upright(outline)).json()
    assert answer["capacity_cm3"] == pytest.approx(88 * 88 * 140 / 1000, rel=ROUNDED_OFF)
    assert answer["rows"][0]["perimeter_mm"] == pytest.approx(4 * 94, rel=ROUNDED_OFF)


def test_a_leaf_is_as_long_round_as_its_two_arcs(client_of_nobody: Client) -> None:
    answer = post(client_of_nobody, upright({"shape": "leaf", "depth_ratio": 0.5})).json()
    # Chord 100 and sagitta 25: radius (50² + 25²) / (2 · 25) = 62.5, half angle asin(50 / 62.5).
    around = 2 * 62.5 * 2 * math.asin(50 / 62.5)
    line = answer["height_lines"][1]
    assert line["perimeter_mm"] == pytest.approx(around, rel=ROUNDED_OFF)
    assert line["depth_mm"] == pytest.approx(50)


def test_an_outline_changes_evenly_to_the_one_at_the_rim(client_of_nobody: Client) -> None:
    rim = {"shape": "oval", "depth_ratio": 0.5}
    body = upright({"shape": "round"}, rim_outline=rim, line_spacing_mm=75)
    lines = post(client_of_nobody, body).json()["height_lines"]
    assert [line["depth_mm"] for line in lines] == pytest.approx([100, 75, 50], rel=ROUNDED_OFF)


def test_a_ratio_that_a_shape_has_no_use_for_changes_nothing(client_of_nobody: Client) -> None:
    plain, more = (
        post(client_of_nobody, upright({"shape": "round", **extra})).json()
        for extra in ({}, {"depth_ratio": 0.5, "corner_ratio": 7})
    )
    assert more == plain


@pytest.mark.parametrize(("tips", "status"), [(12, 200), (13, 422)])
def test_a_star_has_so_many_tips_as_can_be_computed_in_a_second(
    client_of_nobody: Client, tips: int, status: int
) -> None:
    turns = [math.pi * place / tips for place in range(2 * tips)]
    radii = [1 + 0.3 * (place % 2) for place in range(2 * tips)]
    star = [
        [radius * math.cos(turn), radius * math.sin(turn)]
        for radius, turn in zip(radii, turns, strict=True)
    ]
    body = upright({"shape": "traced", "points": star}, rim_outline={"shape": "round"})
    response = post(client_of_nobody, body)
    assert response.status_code == status
    if status == 422:
        assert "at most 24 sharp corners" in fields(response)["outline.points"]
