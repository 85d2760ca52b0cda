"""A program drawn as temperature over time."""

import re

import pytest

from studio.kilns.curve import FOOT, HEIGHT, LEFT, RIGHT, TOP, WIDTH, curve
from studio.kilns.heat.program import Segment, temperature_c, timing
from studio.kilns.shipped import PROGRAMS
from studio.kilns.shipped import Program as Shipped


def corners(path: str) -> list[tuple[float, float]]:
    pairs = re.findall(r"([\d.]+) ([\d.]+)", path)
    return [(float(x), float(y)) for x, y in pairs]


@pytest.mark.parametrize("program", PROGRAMS, ids=lambda each: each.key)
def test_each_corner_of_the_curve_is_what_the_program_asks_for_then(program: Shipped) -> None:
    drawn = curve(20, program.segments)
    timed = timing(20, program.segments)
    for x, y in corners(drawn.path):
        hours = (x - LEFT) / (WIDTH - RIGHT - LEFT) * timed.duration_h
        temp_c = 20 + (HEIGHT - FOOT - y) / (HEIGHT - FOOT - TOP) * (timed.peak_c - 20)
        assert temperature_c(20, program.segments, hours) == pytest.approx(temp_c, abs=8)
    assert (drawn.peak_x, drawn.peak_y) == (WIDTH - RIGHT, TOP)


def test_a_controlled_cooling_goes_down_and_the_peak_stays_where_it_is() -> None:
    drawn = curve(20, [Segment(100, 1000, 30), Segment(50, 800)])
    assert drawn.peak_y == TOP
    assert drawn.peak_x < drawn.end_x
    assert corners(drawn.path)[-1][1] > TOP


def test_a_program_that_does_nothing_is_a_point_on_the_axis() -> None:
    drawn = curve(20, [Segment(100, 20)])
    assert set(corners(drawn.path)) == {(LEFT, HEIGHT - FOOT)}
