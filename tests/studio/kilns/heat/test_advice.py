"""What a load makes of a program; the bounds and their sources stand in `advice`."""

import doctest

import pytest

from studio.kilns.heat import advice
from studio.kilns.heat.advice import Falls, Ware, load_cautions
from studio.kilns.heat.program import Segment
from studio.kilns.heat.reached import firing
from studio.kilns.shipped import GLAZE_CONE_6, SLOW_SCHOOL_BISQUE

TO_06 = (Segment(100, 600), Segment(60, 998))


def said(
    segments: tuple[Segment, ...], ware: Ware, falls: Falls | None = None, start_c: float = 20
) -> list[str]:
    fired = firing(start_c, segments)
    return [each.code for each in load_cautions(fired, start_c, segments, ware, falls)]


class TestDamp:
    def test_a_thick_wall_is_heated_slowly_below_120(self) -> None:
        """30 to 60 °C/h up to 120 °C for walls over 12 mm (common practice, no source)."""
        fast = firing(20, TO_06)
        (caution,) = load_cautions(fast, 20, TO_06, Ware(thickest_mm=18))
        assert caution.message.startswith("Segment 1 rises at 100 °C/h below 120 °C.")
        assert "For a wall of 18 mm" in caution.message
        assert caution.values["most_c_per_h"] == 45
        assert said((Segment(45, 120), *TO_06), Ware(thickest_mm=18)) == []

    @pytest.mark.parametrize("ware", [Ware(), Ware(9), Ware(18, unfired=False)])
    def test_thin_fired_or_unknown_ware_may_go_faster(self, ware: Ware) -> None:
        assert said(TO_06, ware) == []

    def test_hours_below_boiling_dry_it(self) -> None:
        """50 °C/h to 90 °C and held three hours or more, then 100 °C/h: published for thicker
        ware, sitawong.com."""
        published = (Segment(50, 90, 180), Segment(100, 600, 30), Segment(150, 900))
        assert said(published, Ware(thickest_mm=20)) == []
        assert said(SLOW_SCHOOL_BISQUE.segments, Ware(thickest_mm=30)) == []
        shorter = (Segment(50, 90, 60), *published[1:])
        assert said(shorter, Ware(thickest_mm=20)) == ["damp_ramp", "damp_ramp"]
        faster = (Segment(60, 90, 180), *published[1:])
        assert said(faster, Ware(thickest_mm=20)) == ["damp_ramp"]

    def test_a_kiln_that_is_lit_warm_is_past_it(self) -> None:
        assert said(TO_06, Ware(thickest_mm=18), start_c=150) == []

    def test_a_kiln_that_only_dries_ware_is_judged_too(self) -> None:
        assert said((Segment(30, 100),), Ware(thickest_mm=18)) == []
        assert said((Segment(80, 100),), Ware(thickest_mm=18)) == ["damp_ramp"]

    def test_going_down_is_no_ramp(self) -> None:
        assert said((Segment(200, 60), Segment(40, 140), *TO_06), Ware(18), start_c=90) == []


class TestQuartz:
    def test_a_segment_downwards_past_573_is_judged_by_its_rate(self) -> None:
        """50 °C/h: recommended for sanitary ware, citing Fortuna, Sanitaryware, Faenza 2000."""
        ware = Ware(thickest_mm=18, unfired=False)
        assert said((*TO_06, Segment(80, 500)), ware) == ["quartz_cooling"]
        assert said((*TO_06, Segment(50, 500)), ware) == []
        assert said((*TO_06, Segment(80, 600)), ware) == []
        assert said((*TO_06, Segment(80, 500)), Ware(9, unfired=False)) == []

    def test_a_kiln_that_falls_by_itself_is_judged_by_its_time_constant(self) -> None:
        """Newton: (573 - 20)/7 h = 79 °C/h."""
        ware = Ware(thickest_mm=18, unfired=False)
        fired = firing(20, TO_06)
        (caution,) = load_cautions(fired, 20, TO_06, ware, Falls(7, 20))
        assert caution.values["rate_c_per_h"] == pytest.approx(79)
        assert said(TO_06, ware, Falls(12, 20)) == []
        assert said((*TO_06, Segment(50, 500)), ware, Falls(7, 20)) == []


class TestTooHot:
    def test_a_body_or_a_glaze_of_a_lower_cone_is_said(self) -> None:
        cone_6 = GLAZE_CONE_6.segments
        assert said(cone_6, Ware(body_cone="06")) == ["hotter_than_body"]
        assert said(cone_6, Ware(glaze_cone="5.5")) == ["hotter_than_glaze"]
        assert said(cone_6, Ware(body_cone="6", glaze_cone="10")) == []

    def test_a_hold_that_does_it_is_named(self) -> None:
        """The published schedule to 1250 °C and half an hour: sitawong.com, "glaze cone 6"."""
        held = (Segment(100, 600), Segment(150, 1250, 30))
        assert said(held, Ware(body_cone="10", glaze_cone="6")) == [
            "hotter_than_glaze",
            "hold_over_fires",
        ]
        unheld = (Segment(100, 600), Segment(150, 1250))
        assert said(unheld, Ware(glaze_cone="6")) == []

    def test_below_every_cone_nothing_is_too_hot(self) -> None:
        assert said((Segment(60, 400),), Ware(body_cone="022")) == []


def test_its_examples_are_true() -> None:
    assert doctest.testmod(advice).failed == 0
