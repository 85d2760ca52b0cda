"""The outlines of base and rim are drawn as wide and deep as the pot is there."""

import re

import pytest

from planning.geometry.inputs import Outline
from planning.plans.inputs import Drawn
from planning.plans.seen import seen_from_above
from tests.planning.work import drawn_plan

LINES = [
    {"height_mm": 0.0, "front_mm": 100.0, "depth_mm": 60.0},
    {"height_mm": 200.0, "front_mm": 120.0, "depth_mm": 120.0},
]


def leaf(rim: Outline | None = None) -> Drawn:
    return drawn_plan(outline=Outline("leaf", 0.6), rim_outline=rim)


def extent(path: str) -> tuple[float, float]:
    numbers = [float(each) for each in re.findall(r"-?[\d.]+", path)]
    x, y = numbers[::2], numbers[1::2]
    return max(x) - min(x), max(y) - min(y)


def test_base_and_rim_have_the_sizes_of_their_height_lines() -> None:
    seen = seen_from_above(leaf(Outline("round")), {"height_lines": LINES})
    assert seen is not None
    wide, deep = extent(seen.rim)
    assert deep == pytest.approx(wide, abs=0.2)
    assert extent(seen.base) == pytest.approx((wide * 100 / 120, wide * 60 / 120), abs=0.2)


def test_the_tips_of_a_leaf_are_left_and_right() -> None:
    seen = seen_from_above(leaf(), {"height_lines": LINES})
    assert seen is not None
    numbers = [float(each) for each in re.findall(r"-?[\d.]+", seen.base)]
    points = list(zip(numbers[::2], numbers[1::2], strict=True))
    for tip in (min(points), max(points)):
        assert tip[1] == pytest.approx(seen.height / 2, abs=0.1)


def test_a_closed_pot_has_no_rim() -> None:
    top = {"height_mm": 200.0, "front_mm": 0.0, "depth_mm": 0.0}
    seen = seen_from_above(leaf(), {"height_lines": [LINES[0], top]})
    assert seen is not None
    assert seen.rim == ""


def test_a_round_pot_is_not_drawn_from_above() -> None:
    assert seen_from_above(drawn_plan(), {"height_lines": LINES}) is None
    assert seen_from_above(leaf(), {}) is None
