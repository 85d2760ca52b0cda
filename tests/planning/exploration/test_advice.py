"""What would count as a new idea is said from the proportions of the forms."""

import cv2
import numpy as np
import pytest

from planning.exploration.advice import MESSAGES, ONE, Shape, advice, shape_of
from tests.planning.exploration.ideas import Array

# Outlines from the foot up as (height, half-width); how people would call them, common practice,
# no source.
SHAPES: dict[str, tuple[list[tuple[float, float]], Shape]] = {
    "bottle": ([(0, 20), (30, 24), (70, 10), (100, 8)], Shape("tall", "foot")),
    "amphora": ([(0, 8), (75, 30), (90, 20), (100, 14)], Shape("tall", "top")),
    "egg": ([(0, 15), (25, 30), (50, 34), (75, 30), (100, 15)], Shape("tall", "middle")),
    "beaker": ([(0, 25), (100, 25)], Shape("tall", "straight")),
    "bowl": ([(0, 20), (30, 50), (50, 60)], Shape("low", "top")),
    "dome": ([(0, 60), (10, 60), (40, 30), (50, 10)], Shape("low", "foot")),
    "ball": ([(0, 20), (20, 40), (50, 50), (80, 40), (100, 20)], Shape("even", "middle")),
    "dish": ([(0, 60), (20, 60)], Shape("low", "straight")),
}


def filled(profile: list[tuple[float, float]]) -> Array:
    side = np.array(profile)
    right = np.column_stack((200 + 3 * side[:, 1], 350 - 3 * side[:, 0]))
    left = np.column_stack((200 - 3 * side[:, 1], 350 - 3 * side[:, 0]))[::-1]
    picture = np.zeros((400, 400), np.uint8)
    cv2.fillPoly(picture, [np.vstack((right, left)).astype(np.int32)], 255)
    return picture


@pytest.mark.parametrize("name", SHAPES)
def test_a_form_is_called_as_people_call_it(name: str) -> None:
    profile, shape = SHAPES[name]
    assert shape_of(filled(profile)) == shape


def shapes(*names: str) -> list[Shape]:
    return [SHAPES[name][1] for name in names]


@pytest.mark.parametrize(
    ("names", "code"),
    [
        ((), ""),
        (("bottle",), "all_tall"),
        (("bottle", "amphora", "beaker"), "all_tall"),
        (("bowl", "dish"), "all_low"),
        (("ball",), "all_even"),
        (("amphora", "bowl"), "all_top"),
        (("egg", "ball"), "all_middle"),
        (("bottle", "dome"), "all_foot"),
        (("beaker", "dish"), "all_straight"),
        (("bottle", "ball"), "none_low"),
        (("bowl", "ball"), "none_tall"),
        (("bottle", "dish"), "none_top"),
        (("amphora", "dish"), "none_foot"),
        (("bottle", "bowl"), "none_middle"),
        (("bottle", "bowl", "ball"), ""),
    ],
)
def test_what_all_share_comes_first_then_what_none_has(names: tuple[str, ...], code: str) -> None:
    assert advice(shapes(*names)) == code
    assert not code or code in MESSAGES


def test_one_drawing_shares_its_build_with_itself() -> None:
    assert {advice([shape]) for _, shape in SHAPES.values()} == ONE.keys()
