"""What a phone is sent to turn: as much of the pot as can be seen from above the table."""

import json
from itertools import pairwise

import numpy as np
import pytest

from planning.geometry.form import form
from planning.geometry.inputs import FootRing, Outline, PlanInputs
from planning.geometry.skin import FOR_LOOKING, skin
from planning.pictures.turned import Shape, form_shape
from tests.planning.geometry.forms import BELLIED, Floats, inputs, points

LEAF = inputs(BELLIED, outline=Outline("leaf", 0.5), foot_ring=FootRing(9, 6))


def shape_of(given: PlanInputs) -> Shape:
    made = form(given)
    return form_shape(skin(given, made, FOR_LOOKING), made)


def places(shape: Shape, name: str) -> Floats:
    """(rings, columns, 3) in millimetres, as the page's script reads them."""
    band = shape["bands"][name]
    xy = np.array(band["xy"]).reshape(len(band["z"]), shape["columns"], 2)
    z = np.broadcast_to(np.array(band["z"])[:, None, None], (*xy.shape[:2], 1))
    return np.asarray(np.concatenate((xy, z), axis=2) / shape["per_mm"])


def test_a_hand_can_follow_the_bands_without_lifting_off() -> None:
    shape = shape_of(LEAF)
    bands = [places(shape, name) for name in shape["bands"]]
    assert list(shape["bands"]) == ["foot", "outside", "rim", "inside", "floor"]
    for before, after in pairwise(bands):
        assert np.array_equal(before[-1], after[0])
    assert bands[0][0, 0, 2] == 0
    assert np.ptp(bands[-1][-1], axis=0).max() == 0


def test_its_rings_are_as_wide_as_the_drawing() -> None:
    outside = places(shape_of(inputs(BELLIED)), "outside")
    radius = np.hypot(outside[..., 0], outside[..., 1])
    assert radius[0] == pytest.approx(np.full(radius.shape[1], 45), abs=0.1)
    assert radius[-1] == pytest.approx(np.full(radius.shape[1], 63), abs=0.1)
    assert radius.max() == pytest.approx(110, abs=0.1)
    inside = places(shape_of(inputs(BELLIED)), "inside")
    assert inside[-1, 0, 2] == 10


def test_lines_stand_where_they_were_drawn_above_the_foot_ring() -> None:
    assert shape_of(inputs(BELLIED))["lines"] == [600, 1300, 2000, 2600]
    assert shape_of(LEAF)["lines"] == [660, 1360, 2060, 2660]


def test_lines_too_close_to_tell_apart_are_left_out() -> None:
    close = points((0, 50), (5, 51), (10, 52), (15, 53), (60, 60), (95, 60), (100, 60))
    assert shape_of(inputs(close))["lines"] == [100, 600]


def test_a_leaf_has_its_edges_at_the_tips() -> None:
    shape = shape_of(LEAF)
    tips = places(shape, "outside")[:, shape["corners"]]
    assert tips.shape[1] == 2
    assert np.abs(tips[..., 1]).max() == 0


def test_nothing_is_seen_of_the_inside_of_a_closed_form() -> None:
    closed = points((0, 60), (60, 100), (120, 90), (170, 40), (185, 0))
    assert list(shape_of(inputs(closed))["bands"]) == ["outside"]


def test_it_is_small_enough_to_be_sent_to_a_phone() -> None:
    assert len(json.dumps(shape_of(LEAF), separators=(",", ":"))) < 60_000
