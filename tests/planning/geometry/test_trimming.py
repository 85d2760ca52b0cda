"""Rings with loops at their tips, against the same regions cut by GEOS. mm."""

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray

from planning.geometry.profile import Floats
from planning.geometry.trimming import Flags, trimmed


def inside(corners: list[tuple[float, float]], by: float) -> tuple[Floats, Flags]:
    """Each side of a polygon moved inward, one after the other, and which of all sides of the
    chain run forward."""
    ring = np.array(corners)
    run = np.roll(ring, -1, axis=0) - ring
    inward = np.stack((-run[:, 1], run[:, 0]), axis=-1) / np.hypot(*run.T)[:, np.newaxis]
    starts, ends = ring + by * inward, np.roll(ring, -1, axis=0) + by * inward
    chain = np.stack((starts, ends), axis=1).reshape(-1, 2)
    return chain[np.newaxis], np.tile([True, False], len(ring))[np.newaxis]


def cut(
    rings: Floats, forward: Flags, steady: Flags | None = None
) -> tuple[shapely.Polygon, NDArray[np.bool_]]:
    everywhere = np.ones_like(forward)
    found, done = trimmed(rings, forward, everywhere if steady is None else steady)
    return shapely.Polygon(found[0]), done


KITE = [(0.0, -60.0), (35, 0), (0, 140), (-35, 0)]


@pytest.mark.parametrize("by", [1.0, 8.0, 20.0])
def test_every_tip_is_cut_where_its_sides_meet(by: float) -> None:
    polygon, done = cut(*inside(KITE, by))
    expected = shapely.Polygon(KITE).buffer(-by, join_style="mitre")
    assert done.all()
    assert polygon.is_valid
    assert polygon.symmetric_difference(expected).area < 1e-9 * expected.area


def test_many_rings_are_cut_at_once_wherever_they_begin() -> None:
    rings, forward = zip(*(inside(KITE[k:] + KITE[:k], 3.0 + k) for k in range(4)), strict=True)
    turned = [np.roll(each, 1, axis=1) for each in rings]
    flags = [np.roll(each, 1, axis=1) for each in forward]
    found, done = trimmed(*(np.concatenate(each) for each in (turned, flags, flags)))
    assert not done.any(), "no loop is steady"
    assert (found == np.concatenate(turned)).all()
    everywhere = np.ones((4, 8), dtype=np.bool_)
    found, done = trimmed(np.concatenate(turned), np.concatenate(flags), everywhere)
    assert done.all()
    for k, ring in enumerate(found):
        expected = shapely.Polygon(KITE).buffer(-3.0 - k, join_style="mitre")
        assert shapely.Polygon(ring).area == pytest.approx(expected.area, rel=1e-12)


def test_a_loop_across_a_crease_is_left_as_it_is() -> None:
    rings, forward = inside(KITE, 8)
    steady = np.ones_like(forward)
    steady[0, 1] = False
    found, done = trimmed(rings, forward, steady)
    assert not done[0]
    assert (found[0, [1, 2]] == rings[0, [1, 2]]).all()
    assert (found[0, 3] == found[0, 4]).all(), "the next tip is cut"


def test_a_strip_narrower_than_two_walls_has_no_crossing() -> None:
    strip = [(0.0, 0.0), (100, 0), (100, 10), (0, 10)]
    assert not cut(*inside(strip, 8))[1].any()


def test_a_ring_that_runs_backwards_all_round_is_left() -> None:
    rings, forward = inside(KITE, 8)
    found, done = trimmed(rings, np.zeros_like(forward), np.ones_like(forward))
    assert not done.any()
    assert (found == rings).all()


def test_a_side_too_short_to_be_left_is_left_to_others() -> None:
    """Both of its ends would be cut beyond each other."""
    chamfered = [(0.0, 0.0), (100, 0), (100, 99), (99, 100), (0, 100)]
    assert not cut(*inside(chamfered, 20))[1].any()


def test_a_tip_that_may_hold_a_pocket_is_left_to_others() -> None:
    """Its arms cross a second time below a bulb, and the loop crosses itself."""
    arm = [(-2.0, 60.0), (-1.9, 58), (10, 40), (-2, 20), (50, 0), (50, -50)]
    ring = np.array([*reversed(arm), *[(-x, y) for x, y in arm]])[np.newaxis]
    forward = np.ones(ring.shape[:2], dtype=np.bool_)
    forward[0, len(arm) - 1] = False
    found, done = trimmed(ring, forward, np.ones_like(forward))
    assert not (done[0] and shapely.is_valid(shapely.Polygon(found[0])))
