"""A picture in, plain numbers out."""

import json
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from planning.tracing.run import Asked, BadScale, answer, taps_of

from .bases import base
from .drawn import Drawn, Sheet, drawn
from .scene import Camera

CARD = {"kind": "card"}
SHEET = Sheet(height_mm=150, widest_mm=50, half=True)


@cache
def _drawn() -> Drawn:
    return drawn(SHEET, Camera(1800, tilt_deg=5, towards_deg=30), 11)


@cache
def _answer() -> dict[str, Any]:
    return answer(_drawn().photo.gray, Asked("drawing", CARD, spacing_mm=20))


def test_a_drawing_is_answered_as_a_plan_takes_it() -> None:
    told = json.loads(json.dumps(_answer()))
    assert (told["trusted"], told["reason"], told["rough"]) == (True, None, False)
    assert (told["shows"], told["asymmetry_mm"], told["spacing_mm"]) == ("half", None, 20)
    rows = told["profile"]
    assert [row["height_mm"] for row in rows[:-1]] == pytest.approx(np.arange(0, 141, 20), abs=0.01)
    assert rows[3]["right_mm"] == rows[3]["left_mm"]
    assert rows[3]["right_mm"] == pytest.approx(float(_drawn().right(60)), abs=0.8)


def test_a_picture_that_was_read_smaller_is_answered_in_its_own_pixels() -> None:
    paper = np.array(((0.0, 0.0), (0.0, 140.0), (45.0, 140.0), (45.0, 0.0)))
    large = _drawn().photo.seen(paper * (1, -1) + _drawn().axis_and_table) * 2.5 + 0.75
    scale = {"kind": "points", "image": large.tolist(), "paper_mm": paper.tolist()}
    told = answer(_drawn().photo.gray, Asked("drawing", scale, spacing_mm=20), shrink=0.4)
    assert told["trusted"]
    for name in ("homography", "points_homography"):
        seen = np.array(told[name]) @ (30.0, 100.0, 1.0)
        (there,) = _drawn().photo.seen(np.array(((30.0, -100.0),)) + _drawn().axis_and_table)
        assert seen[:2] / seen[2] == pytest.approx((there + 0.5) * 2.5 - 0.5, abs=4)


def test_points_are_pixels_of_the_picture() -> None:
    paper = np.array(((0.0, 0.0), (0.0, 140.0), (45.0, 140.0), (45.0, 0.0)))
    seen = _drawn().photo.seen(paper * (1, -1) + _drawn().axis_and_table)
    scale = {"kind": "points", "image": seen.tolist(), "paper_mm": paper.tolist()}
    told = answer(_drawn().photo.gray, Asked("drawing", scale, spacing_mm=20))
    assert told["trusted"]
    assert told["profile"][3]["right_mm"] == pytest.approx(float(_drawn().right(60)), abs=0.8)


def test_it_is_told_on_which_side_of_its_axis_a_half_is_drawn() -> None:
    truth = drawn(replace(SHEET, card=False, labels=False), Camera(1800), 12)
    assert _answer()["drawn_on"] == "right"
    paper = np.array(((0.0, 0.0), (0.0, 140.0), (45.0, 140.0), (45.0, 0.0)))
    seen = truth.photo.seen(paper * (1, -1) + truth.axis_and_table)
    # As a drawer would who began on the other side: in a mirror x runs to the left.
    seen[:, 0] = truth.photo.gray.shape[1] - 1 - seen[:, 0]
    scale = {"kind": "points", "image": seen.tolist(), "paper_mm": (paper * (-1, 1)).tolist()}
    mirrored = np.ascontiguousarray(truth.photo.gray[:, ::-1])
    told = answer(mirrored, Asked("drawing", scale, spacing_mm=20))
    assert (told["drawn_on"], told["shows"]) == ("left", "half")
    assert told["profile"][3]["left_mm"] == pytest.approx(float(truth.right(60)), abs=0.8)


def test_a_whole_pot_tells_how_far_its_sides_are_from_being_alike() -> None:
    truth = drawn(Sheet(height_mm=150, widest_mm=50, asymmetry=0.05), Camera(1800), 4)
    told = answer(truth.photo.gray, Asked("drawing", CARD, spacing_mm=20))
    assert (told["shows"], told["drawn_on"]) == ("whole", "both")
    heights = np.arange(0, 141, 20)
    apart = float(np.abs(truth.left(heights) - truth.right(heights)).max())
    assert told["asymmetry_mm"] == pytest.approx(apart, abs=1)


def test_an_outline_is_answered_as_a_traced_one() -> None:
    truth = base("oval", Camera(1800), 3)
    told = answer(truth.photo.gray, Asked("outline", CARD))
    assert told["trusted"]
    width, depth = np.ptp(np.array(told["points"]), axis=0)
    assert (width, depth) == pytest.approx((120, 72), abs=1)


def test_what_is_not_trusted_has_a_reason_and_no_numbers() -> None:
    blank = np.full((900, 700), 200, np.uint8)
    for what in ("drawing", "outline"):
        told = answer(blank, Asked(what, CARD))
        assert told["trusted"] is False
        assert told["reason"]["code"] == "no_card"
        assert told["reason"]["message"].startswith("The scale card is not seen.")
        assert told.get("profile", []) == told.get("points", []) == []
        assert told["homography"] is told["points_homography"] is None


def test_points_place_the_paper_though_nothing_is_drawn_on_it() -> None:
    blank = np.full((900, 700), 200, np.uint8)
    image, paper = [[100, 800], [600, 800], [600, 300], [100, 300]], [[0, 0], [250, 0]]
    paper += [[250, 250], [0, 250]]
    for count in (2, 4):
        scale = {"kind": "points", "image": image[:count], "paper_mm": paper[:count]}
        told = answer(blank, Asked("drawing", scale))
        assert not told["trusted"]
        seen = np.array(told["points_homography"]) @ (125.0, 125.0, 1.0)
        assert seen[:2] / seen[2] == pytest.approx((350, 550))
    same = {"kind": "points", "image": [[1, 1]] * 2, "paper_mm": [[0, 0], [0, 1]]}
    assert answer(blank, Asked("drawing", same))["points_homography"] is None


TWO = [[0, 0], [1, 1]]


@pytest.mark.parametrize(
    ("path", "scale"),
    [
        ("kind", {}),
        ("kind", {"kind": "ruler"}),
        ("image", {"kind": "points"}),
        ("image", {"kind": "points", "image": "ab", "paper_mm": TWO}),
        ("image", {"kind": "points", "image": [[0, 0]] * 3, "paper_mm": TWO}),
        ("image.1", {"kind": "points", "image": [[0, 0], [0, "1"]], "paper_mm": TWO}),
        ("image.0", {"kind": "points", "image": [[0, True], [0, 1]], "paper_mm": TWO}),
        ("image.0", {"kind": "points", "image": [[0, 10**400], [0, 1]], "paper_mm": TWO}),
        ("paper_mm.0", {"kind": "points", "image": TWO, "paper_mm": [[0], [0, 1]]}),
        ("paper_mm.1", {"kind": "points", "image": TWO, "paper_mm": [[0, 0], [0, float("nan")]]}),
        ("paper_mm", {"kind": "points", "image": TWO, "paper_mm": [[0, 0]] * 4}),
    ],
)
def test_a_scale_that_is_none_is_told_at_its_field(path: str, scale: dict[str, Any]) -> None:
    with pytest.raises(BadScale, match=r"\.$") as refused:
        taps_of(scale)
    assert refused.value.path == path


ENDS = [[0.0, 0.0], [45.0, 0.0], [45.0, 140.0], [0.0, 140.0]]
TWO_SWAPPED = [[300.0, 1500.0], [900.0, 1500.0], [300.0, 300.0], [900.0, 300.0]]
TOO_CLOSE = [[300.0, 1500.0], [301.0, 300.0]]


@pytest.mark.parametrize("what", ["drawing", "outline"])
@pytest.mark.parametrize(
    ("image", "paper"),
    [(TWO_SWAPPED, ENDS), (TOO_CLOSE, [[0.0, 0.0], [0.0, 0.8]])],
    ids=["two points swapped", "a thousandth of what they are"],
)
def test_points_that_no_flat_paper_has_there_are_to_be_tapped_again(
    what: Any, image: list[list[float]], paper: list[list[float]]
) -> None:
    scale = {"kind": "points", "image": image, "paper_mm": paper}
    told = answer(_drawn().photo.gray, Asked(what, scale))
    assert (told["trusted"], told["reason"]["code"]) == (False, "points_dont_fit")
    assert told["homography"] is None
