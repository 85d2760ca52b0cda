"""Newton's law, and a time constant learned from curves that somebody read by eye."""

import math

import numpy as np
import pytest

from studio.kilns.heat.cooling import (
    STATED,
    Reading,
    cooling_h,
    cooling_rate_c_per_h,
    fitted_cooling,
)
from studio.kilns.refusal import KilnRefused

ROOM_C = 20.0


def curve(tau_h: float, seed: int = 0, noise_c: float = 0.0) -> list[Reading]:
    """Read every two hours from 1000 °C down."""
    noise = np.random.default_rng(seed).normal(0, noise_c, 10)
    return [(2.0 * n, ROOM_C + 980 * math.exp(-2 * n / tau_h) + noise[n]) for n in range(10)]


class TestCooling:
    def test_it_follows_newtons_law(self) -> None:
        """One time constant takes the difference to the room to 1/e."""
        assert cooling_h(1020, 20 + 1000 / math.e, 20, 7) == pytest.approx(7)
        assert cooling_h(1020, 60, 20, 6) == pytest.approx(6 * math.log(25))

    def test_a_kiln_that_is_cool_needs_no_time(self) -> None:
        assert cooling_h(50, 60, 20, 6) == 0

    @pytest.mark.parametrize(
        ("values", "path", "message"),
        [
            ((1000, 20, 20, 6), "to_c", "so it never gets down to 20 °C"),
            ((1000, 60, 20, 0), "time_constant_h", "This must be more than 0."),
            ((math.nan, 60, 20, 6), "from_c", "This must be an ordinary number."),
        ],
    )
    def test_what_can_not_be_computed_is_refused(
        self, values: tuple[float, float, float, float], path: str, message: str
    ) -> None:
        with pytest.raises(KilnRefused) as refused:
            cooling_h(*values)
        [trouble] = refused.value.problems
        assert trouble.path == path
        assert message in trouble.message

    def test_its_rate_is_the_slope_of_that_law(self) -> None:
        before, after = (20 + 980 * math.exp(-each / 7) for each in (3.999, 4.001))
        at_c = 20 + 980 * math.exp(-4 / 7)
        assert cooling_rate_c_per_h(at_c, 20, 7) == pytest.approx(
            (before - after) / 0.002, rel=1e-5
        )


class TestLearning:
    @pytest.mark.parametrize("tau_h", [3, 7, 12])
    def test_a_clean_curve_gives_its_own_constant(self, tau_h: float) -> None:
        found = fitted_cooling([curve(tau_h)], ROOM_C)
        assert found.time_constant_h == pytest.approx(tau_h, rel=1e-4)
        assert (found.firings, found.spread_h) == (1, None)

    def test_a_misread_figure_hardly_moves_it(self) -> None:
        """Plain least squares would be off by half an hour and more."""
        read = curve(7, noise_c=3)
        read[4] = (read[4][0], read[4][1] + 200)
        hours = np.array([h for h, _ in read])
        plain = -1 / np.polyfit(hours, np.log([c - ROOM_C for _, c in read]), 1)[0]
        found = fitted_cooling([read], ROOM_C).time_constant_h
        assert found == pytest.approx(7, abs=0.2)
        assert abs(found - 7) < abs(plain - 7)

    def test_the_median_of_the_firings_counts_with_its_spread(self) -> None:
        found = fitted_cooling([curve(6), curve(7), curve(9)], ROOM_C)
        assert found.time_constant_h == pytest.approx(7, rel=1e-3)
        assert found.firings == 3
        assert found.spread_h == pytest.approx(1.5, rel=1e-3)

    @pytest.mark.parametrize(
        "read",
        [
            [],
            [(0, 900), (1, 800)],
            [(0, 900), (0.5, 880), (1, 850)],
            [(3, 900), (3, 500), (3, 300)],
            [(0, 20), (5, 19), (9, 18), (10, 20)],
            [(0, 600), (1, 700), (2, 800)],
        ],
    )
    def test_readings_that_say_too_little_leave_the_stated_value(self, read: list[Reading]) -> None:
        assert fitted_cooling([read], ROOM_C) is STATED
        assert fitted_cooling([read, curve(5)], ROOM_C).firings == 1
