"""Outlines of bases from photographs."""

from typing import Any

import numpy as np
import pytest
import shapely
import shapely.affinity
from scipy.optimize import minimize_scalar

from planning.geometry.traced import traced_troubles
from planning.tracing.outline import traced_outline
from planning.tracing.plane import moved

from .bases import SHAPES, Base, base
from .scene import Camera

FLAT = Camera(1800, tilt_deg=5, towards_deg=70, bend=0.002)


def _off(points: np.ndarray, truth: Base) -> float:
    """The largest distance of two rings, turned onto each other: the photo says what is up."""
    ring = shapely.LinearRing(points)

    def apart(turn: float) -> float:
        turned = shapely.affinity.rotate(ring, turn, origin=(0, 0))
        return float(shapely.hausdorff_distance(turned, truth.ring, densify=0.2))

    return float(minimize_scalar(apart, bounds=(-4, 4), method="bounded").fun)


def _reason(truth: Base) -> str:
    traced = traced_outline(truth.photo.gray)
    assert (traced.trusted, traced.points) == (False, None)
    assert traced.reason is not None
    return traced.reason.code


@pytest.mark.parametrize("shape", SHAPES)
def test_its_points_lie_on_the_line_that_was_drawn(shape: str) -> None:
    truth = base(shape, FLAT, 4, ruled_mm=8)
    traced = traced_outline(truth.photo.gray)
    assert traced.points is not None
    assert _off(traced.points, truth) < 0.6
    assert list(traced_troubles("outline", tuple(map(tuple, traced.points.tolist())))) == []


@pytest.mark.parametrize("how", [{"crossed": True}, {"open_mm": 2.0}])
def test_middle_lines_through_it_or_a_small_gap_do_no_harm(how: dict[str, Any]) -> None:
    truth = base("leaf", FLAT, 4, **how)
    traced = traced_outline(truth.photo.gray)
    assert traced.points is not None
    assert _off(traced.points, truth) < 0.6


def test_it_can_be_laid_over_the_photo() -> None:
    truth = base("oval", FLAT, 4)
    traced = traced_outline(truth.photo.gray)
    assert traced.points is not None
    assert traced.homography is not None
    tips = traced.points[[traced.points[:, 0].argmin(), traced.points[:, 0].argmax()]]
    seen = truth.photo.seen(np.array(((57.0, 110.0), (177.0, 110.0))))
    assert np.abs(moved(traced.homography, tips)[:, 0] - seen[:, 0]).max() < 6


@pytest.mark.parametrize(
    ("code", "how"),
    [
        ("no_card", {"card": False}),
        ("no_closed_line", {"open_mm": 25.0}),
        ("no_closed_line", {"darkness": 0.0}),
        ("several_lines", {"shape": "leaf", "crossed": True, "open_mm": 2.0}),
        ("several_lines", {"twice": True}),
        ("gaps", {"dashed": True}),
        ("cut_off", {"at_mm": (77.5, 110.0)}),
    ],
)
def test_what_is_missing_is_told(code: str, how: dict[str, Any]) -> None:
    assert _reason(base(**{"shape": "oval", "camera": FLAT, "seed": 4, **how})) == code
