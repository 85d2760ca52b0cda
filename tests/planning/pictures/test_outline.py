"""A drawn pot is the pot of its samples: no smoothing moves a shoulder, nothing leaves its box."""

import re
import subprocess
import sys
from itertools import pairwise
from math import dist, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.pictures.outline import (
    TOLERANCE,
    Cubic,
    Ellipse,
    Place,
    Point,
    Sample,
    cubics,
    pot_drawing,
    smooth_path,
)

PLACE = Place(scale=0.5, x=75, y=180)
BOTTLE: list[Sample] = [(h * 6.0, 60 + 40 * sin(h / 7), 58 + 40 * sin(h / 7)) for h in range(48)]

half_widths = st.floats(4, 200)
silhouettes = st.lists(st.tuples(half_widths, half_widths), min_size=2, max_size=48).map(
    lambda sides: [(place * 6.0, left, right) for place, (left, right) in enumerate(sides)]
)


def on_cubic(cubic: Cubic, t: float) -> Point:
    """The point at 0 ≤ t ≤ 1 of a Bézier segment, by de Casteljau's construction."""
    points: list[Point] = list(cubic)
    while len(points) > 1:
        points = [((1 - t) * x + t * u, (1 - t) * y + t * v) for (x, y), (u, v) in pairwise(points)]
    return points[0]


def walked(path: str, start: Point) -> list[Point]:
    """The ends of every relative cubic of a path."""
    at, ends = start, [start]
    for segment in re.findall(r"c([^cALMZ]+)", path):
        numbers = [float(number) for number in segment.split()]
        at = (at[0] + numbers[4], at[1] + numbers[5])
        ends.append(at)
    return ends


@given(silhouettes)
def test_every_sample_lies_on_the_drawn_line(silhouette: list[Sample]) -> None:
    points = [PLACE.right(sample) for sample in silhouette]
    drawn = [on_cubic(cubic, t / 40) for cubic in cubics(points) for t in range(41)]
    for point in points:
        nearest = min(dist(point, other) for other in drawn)
        # Points of the drawn line are a fortieth of a segment apart.
        assert nearest <= TOLERANCE + max(dist(a, b) for a, b in pairwise(drawn))


@given(silhouettes)
def test_rounding_never_adds_up(silhouette: list[Sample]) -> None:
    points = [PLACE.right(sample) for sample in silhouette]
    ends = walked(smooth_path(points), (round(points[0][0], 1), round(points[0][1], 1)))
    for cubic, end in zip(cubics(points), ends[1:], strict=True):
        assert dist(cubic[3], end) <= 0.08


def test_a_straight_side_is_one_segment() -> None:
    points = [(10.0, 100.0 - step) for step in range(48)]
    assert smooth_path(points) == "c0 -15.7 0 -31.3 0 -47"


def test_a_smooth_pot_takes_few_segments() -> None:
    assert len(cubics([PLACE.right(sample) for sample in BOTTLE])) <= 16


def test_the_two_sides_are_drawn_each_by_its_own_width() -> None:
    drawing = pot_drawing([(0, 20, 40), (100, 20, 40)], PLACE)
    assert drawing.profile == "M95 180c0 -16.7 0 -33.3 0 -50L65 130c0 16.7 0 33.3 0 50Z"
    assert drawing.rim == Ellipse(cx=80.0, cy=130.0, rx=15.0, ry=15.0 * 0.17)


def test_the_mouth_lies_within_the_rim() -> None:
    for rim_mm in (2.0, 10.0, 150.0):
        drawing = pot_drawing([(0, 30, 30), (100, rim_mm, rim_mm)], PLACE)
        assert 0 < drawing.mouth.rx < drawing.rim.rx
        assert 0 < drawing.mouth.ry < drawing.rim.ry


def test_the_body_ends_at_the_near_edges_of_rim_and_foot() -> None:
    body = pot_drawing(BOTTLE, PLACE).body
    assert re.findall(r"A\S+ \S+ 0 0 (\d)", body) == ["1", "0"]
    assert body.endswith("Z")


def test_an_ellipse_is_a_closed_path() -> None:
    assert Ellipse(50, 20, 10, 2).path == "M40 20A10 2 0 0 1 60 20A10 2 0 0 1 40 20Z"


@given(silhouettes)
def test_light_and_crack_stay_on_the_pot(silhouette: list[Sample]) -> None:
    drawing = pot_drawing(silhouette, PLACE)
    numbers = [float(n) for n in re.findall(r"-?\d+\.?\d*", drawing.crack)]
    assert all(
        PLACE.y - silhouette[-1][0] * PLACE.scale - 0.1 <= y <= PLACE.y for y in numbers[1::2]
    )
    assert drawing.light.startswith("M")


@pytest.mark.parametrize("silhouette", [[], [(0.0, 10.0, 10.0)]])
def test_a_line_needs_two_samples(silhouette: list[Sample]) -> None:
    with pytest.raises(ValueError, match="a silhouette has at least two samples"):
        pot_drawing(silhouette, PLACE)


def test_drawing_knows_no_django() -> None:
    code = (
        "import sys, planning.pictures.outline, planning.pictures.shelf;"
        "import planning.pictures.measured;"
        "sys.exit(any(name.partition('.')[0] == 'django' for name in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
