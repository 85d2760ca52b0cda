"""The compute API of packing, over loads whose places follow by hand; a geometry library checks."""

import json
from itertools import combinations
from typing import Any

import pytest
import shapely
import shapely.affinity
from django.test import Client

from studio.kilns.api import compute_packing
from studio.kilns.api.compute_packing import PackingCompute
from tests.cast import School

ADDRESS = "/api/compute/packing/"
KILN: dict[str, Any] = {
    "shelf": {"shape": "rectangle", "width_mm": 410, "depth_mm": 200},
    "usable_height_mm": 400,
    "shelf_thickness_mm": 20,
    "posts_mm": [150, 200],
    "clearance_mm": 10,
    "headroom_mm": 20,
}


@pytest.fixture
def client_of_nobody(client: Client, cast: School) -> Client:
    """Signed in with an account that belongs to no studio."""
    client.force_login(cast.nobody)
    return client


def pot(name: str, front: float, height: float, depth: float | None = None, **outline: Any) -> Any:
    return {
        "id": name,
        "outline": {"shape": "round"} | outline,
        "front_mm": front,
        "depth_mm": depth or front,
        "height_mm": height,
    }


def post(client: Client, pieces: Any, **kiln: Any) -> Any:
    sent = json.dumps(KILN | {"pieces": pieces} | kiln)
    return client.post(ADDRESS, sent, content_type="application/json")


def fields(response: Any) -> dict[str, str]:
    assert response["Content-Type"] == "application/problem+json"
    return {each["field"]: each["detail"] for each in response.json()["errors"]}


def test_two_pots_fill_a_shelf_and_a_wide_one_stands_on_another(client_of_nobody: Client) -> None:
    """200 + 10 + 200 mm are the shelf's width. 180 + 20 mm need the post of 200 mm and leave
    nothing of it; 120 + 20 mm would leave 10 mm of the one of 150, so they stand open on top:
    20 + 200 + 20 + 120 + 20 = 380 mm of 400 mm are used."""
    wide = pot("c", 390, 180, 190, shape="oval")
    pieces = [pot("a", 200, 120), pot("b", 200, 110), wide, pot("d", 100, 400), pot("e", 450, 20)]
    answer = post(client_of_nobody, pieces).json()
    assert [layer["post_mm"] for layer in answer["layers"]] == [200, None]
    low, top = (layer["placements"] for layer in answer["layers"])
    assert [each["id"] for each in low] == ["c"]
    assert {each["id"]: abs(each["x_mm"]) for each in top} == pytest.approx({"a": 105, "b": 105})
    assert {each["id"]: each["reason_code"] for each in answer["unplaced"]} == {
        "d": "taller_than_kiln",
        "e": "wider_than_shelf",
    }
    assert answer["unplaced"][0]["reason"] == "It is taller than the kiln leaves room for."
    assert answer["bound"] == 2
    assert 0 < answer["area_filled"] < 1


@pytest.mark.parametrize(
    "shelf",
    [
        {"shape": "round", "diameter_mm": 400},
        {"shape": "octagon", "across_mm": 400},
        {"shape": "oval", "width_mm": 500, "depth_mm": 400},
    ],
    ids=["round", "octagon", "oval"],
)
def test_pots_of_every_outline_stand_apart_on_every_shelf(
    client_of_nobody: Client, shelf: dict[str, Any]
) -> None:
    """Ovals as ellipses by the geometry library's own scaling and turning."""
    reserved = [{"x_mm": 0, "y_mm": 150, "diameter_mm": 60}]
    ovals = [pot(f"{n}", 120, 50, 80, shape="oval", depth_ratio=0.1) for n in range(3)]
    others = [
        pot("leaf", 110, 50, 60, shape="leaf"),
        pot("square", 90, 50, shape="rounded_square", corner_ratio=0.3),
        pot("traced", 90, 50, shape="traced", points=[[0, 0], [10, 0], [5, 9]]),
    ]
    answer = post(client_of_nobody, ovals + others, shelf=shelf, reserved=reserved).json()
    assert answer["unplaced"] == []
    [layer] = answer["layers"]
    ellipse = shapely.affinity.scale(shapely.Point(0, 0).buffer(1, 64), 60, 40)
    stood = [
        shapely.affinity.translate(
            shapely.affinity.rotate(ellipse, each["turn_deg"], origin=(0, 0)),
            each["x_mm"],
            each["y_mm"],
        )
        for each in layer["placements"]
        if each["id"] in {"0", "1", "2"}
    ]
    cone = shapely.Point(0, 150).buffer(30, 64)
    for one, other in combinations([*stood, cone], 2):
        assert one.distance(other) > 10 - 0.05


@pytest.mark.parametrize(
    ("changed", "field", "words"),
    [
        ({"shelf": {"shape": "round"}}, "shelf.diameter_mm", "Give this measure"),
        ({"shelf": {"shape": "oval", "width_mm": 9}}, "shelf.depth_mm", "Give this measure"),
        ({"shelf": {"shape": "heart"}}, "shelf.shape", "A shelf is round"),
        ({"shelf": {"shape": "round", "diameter_mm": 9e3}}, "shelf.diameter_mm", "too much"),
        ({"shelf": {"shape": "octagon", "across_mm": 9e3}}, "shelf.across_mm", "too much"),
        (
            {"shelf": {"shape": "oval", "width_mm": 9e3, "depth_mm": 90}},
            "shelf.width_mm",
            "too much",
        ),
        ({"posts_mm": [100, 0]}, "posts_mm.1", "more than 0"),
        ({"posts_mm": "x"}, "posts_mm", "list"),
        ({"clearance_mm": -1}, "clearance_mm", "less than 0"),
        ({"reserved": [{"x_mm": 0, "y_mm": 0}]}, "reserved.0.diameter_mm", "required"),
        ({"pieces": [pot("a", 90, 90)] * 2}, "pieces.1.id", "listed twice"),
        ({"pieces": [pot(f"{n}", 90, 90) for n in range(151)]}, "pieces", "150"),
        ({"pieces": [pot("a", 90, 0)]}, "pieces.0.height_mm", "greater than"),
        (
            {"pieces": [pot("a", 90, 90, shape="rounded_square")]},
            "pieces.0.outline.corner_ratio",
            "how round",
        ),
        ({"pieces": [pot("a", 90, 90, shape="traced")]}, "pieces.0.outline.points", "points"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(
    client_of_nobody: Client, changed: dict[str, Any], field: str, words: str
) -> None:
    response = post(client_of_nobody, changed.pop("pieces", []), **changed)
    assert response.status_code in {400, 422}  # as sent, as a load
    said = fields(response)
    assert list(said) == [field]
    assert words in said[field]


def test_a_load_that_takes_too_long_is_refused_with_a_sentence(
    client_of_nobody: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(compute_packing, "TIMEOUT_SECONDS", 0.001)
    response = post(client_of_nobody, [pot("a", 90, 90)])
    assert fields(response) == {
        "pieces": "This load takes too long to work out. Send fewer pieces at once."
    }


def test_one_person_asks_for_no_more_than_two_loads_at_once(
    client_of_nobody: Client, cast: School
) -> None:
    who = cast.nobody.pk
    with PackingCompute.slots.taken_by(who), PackingCompute.slots.taken_by(who):
        assert post(client_of_nobody, []).status_code == 503
