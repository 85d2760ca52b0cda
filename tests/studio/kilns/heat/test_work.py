"""Heat work by quadrature, and what must never happen, over programs drawn at random."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from studio.kilns.cones import CONE_TYPES, cones
from studio.kilns.heat.arrhenius import bendings
from studio.kilns.heat.program import Segment
from studio.kilns.heat.reached import Firing, firing
from studio.kilns.heat.work import bent, end_points_c, heat_work
from tests.study.heat import HOLDS, by_holding_min, ln_work

from .programs import programs

NAMES = (None, *cones())


def reached(fired: Firing) -> float:
    """The cone and the share of the next one as one figure."""
    return NAMES.index(fired.cone) + fired.cone_position


@pytest.mark.parametrize(
    "segments",
    [
        (Segment(100, 600), Segment(60, 1222)),
        (Segment(150, 1180, 20), Segment(300, 1100, 10), Segment(40, 1200, 45)),
        (Segment(60, 1000), Segment(20, 900, 600)),
        (Segment(50, 85, 360), Segment(60, 1046, 15)),
    ],
)
def test_it_is_the_integral_over_the_whole_program(segments: tuple[Segment, ...]) -> None:
    ours = heat_work(20, segments)[-1]
    for cone in ("019", "04", "6", "10"):
        place = cones().index(cone)
        by_quad = ln_work(20, segments, bendings()[place].e_j_per_mol)
        assert ours[place] == pytest.approx(by_quad, abs=1e-6)


@pytest.mark.parametrize(("peak_c", "trial_min"), HOLDS)
def test_holding_below_its_end_point_puts_a_cone_down(peak_c: float, trial_min: float) -> None:
    """Cone 6 by E and constant alone, integrated by quadrature; the service reads the chart at the
    slower rate that the hold stands for."""
    cone = bendings()[cones().index("6")]

    def over(minutes: float) -> float:
        program = (Segment(60, peak_c, minutes),)
        return ln_work(20, program, cone.e_j_per_mol) - cone.ln_constant

    alone_min = brentq(over, 0, 300)
    assert alone_min == pytest.approx(trial_min, abs=1)
    assert by_holding_min(peak_c, "6") == pytest.approx(alone_min, abs=2)


@settings(max_examples=300)
@given(programs())
def test_a_cooler_cone_is_never_less_far_down_than_a_hotter_one(
    segments: tuple[Segment, ...],
) -> None:
    margins = bent(20, segments).margins_c
    assert np.isfinite(margins).all()
    assert (np.diff(margins) <= 0).all()


@settings(max_examples=60)
@given(programs(), st.integers(0, 5), st.floats(0, 600))
def test_a_longer_hold_is_never_less_heat_work(
    segments: tuple[Segment, ...], which: int, minutes: float
) -> None:
    longer = changed(segments, which, hold_min=minutes)
    assert (heat_work(20, longer)[-1] >= heat_work(20, segments)[-1] - 1e-9).all()
    assert reached(firing(20, longer)) >= reached(firing(20, segments)) - 1e-9


@settings(max_examples=60)
@given(programs(), st.floats(0, 40))
def test_a_hotter_peak_is_never_less_heat_work(segments: tuple[Segment, ...], by_c: float) -> None:
    peak = max(range(len(segments)), key=lambda n: segments[n].target_c)
    hotter = (*segments[:peak], replace(segments[peak], target_c=segments[peak].target_c + by_c))
    assert (heat_work(20, hotter)[-1] >= heat_work(20, segments[: peak + 1])[-1] - 1e-9).all()
    assert reached(firing(20, hotter)) >= reached(firing(20, segments[: peak + 1])) - 1e-6


@settings(max_examples=30)
@given(programs(), st.floats(30, 300))
def test_what_comes_after_takes_nothing_back(segments: tuple[Segment, ...], rate: float) -> None:
    cooled = (*segments, Segment(rate, 300, 30))
    for more, less in zip(bent(20, cooled).margins_c, bent(20, segments).margins_c, strict=True):
        assert more >= less - 1e-6


@pytest.mark.parametrize("cone_type", CONE_TYPES)
def test_slower_heating_never_asks_for_more(cone_type: str) -> None:
    """From far below the chart's rates to far above them."""
    rates = np.geomspace(0.2, 2000, 60)[:, np.newaxis]
    ends = end_points_c(cone_type, np.broadcast_to(rates, (60, len(cones(cone_type)))))
    assert (np.diff(ends, axis=0) > 0).all()


@pytest.mark.parametrize("start_c", [-50.0, 20.0, 600.0])
def test_extremes_stay_numbers(start_c: float) -> None:
    for segments in (
        [Segment(1500, start_c + 1)],
        [Segment(1e-1, start_c + 30, 10080)],
        [Segment(1e9, 1500, 10080)],
        [Segment(15, 1500, 10080)] * 64,
    ):
        found = bent(start_c, segments)
        assert np.isfinite(found.margins_c).all()


def changed(segments: Sequence[Segment], which: int, hold_min: float) -> tuple[Segment, ...]:
    """One hold longer by so much."""
    at = which % len(segments)
    return tuple(
        replace(each, hold_min=each.hold_min + hold_min) if n == at else each
        for n, each in enumerate(segments)
    )
