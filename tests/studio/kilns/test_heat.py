"""Firing time by hand arithmetic, cones by the published chart, cooling by Newton's law."""

import doctest
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.kilns import heat as module
from studio.kilns.cones import DEFAULT_TYPE, cones, end_point_c
from studio.kilns.heat import (
    CAUTIONS,
    Caution,
    Firing,
    Segment,
    cooling_h,
    firing,
    temperature_c,
    timing,
)
from studio.kilns.refusal import MESSAGES, KilnRefused, Trouble

TO_CONE_6 = (Segment(100, 600), Segment(60, 1222))


def codes(fired: Firing) -> list[str]:
    return [each.code for each in fired.cautions]


def refusal(start_c: float, *segments: Segment) -> tuple[Trouble, ...]:
    with pytest.raises(KilnRefused) as refused:
        firing(start_c, segments)
    return refused.value.problems


class TestTiming:
    def test_a_published_bisque_takes_as_long_as_its_segments_add_up_to(self) -> None:
        """Thicker ware, sitawong.com "Suggesting Firing Schedules": 50 °C/h to 90 °C and 3 h;
        100 °C/h to 600 °C and half an hour; 150 °C/h to 900 °C."""
        timed = timing(20, [Segment(50, 90, 180), Segment(100, 600, 30), Segment(150, 900)])
        assert [each.start_h for each in timed.spans] == pytest.approx([0, 4.4, 10])
        assert [each.end_h for each in timed.spans] == pytest.approx([4.4, 10, 12])
        assert timed.duration_h == pytest.approx(70 / 50 + 3 + 510 / 100 + 0.5 + 300 / 150)
        assert timed.peak_c == 900

    def test_a_target_below_the_last_goes_down_at_its_rate(self) -> None:
        timed = timing(20, [Segment(100, 1020), Segment(50, 920, 60)])
        assert timed.duration_h == pytest.approx(10 + 2 + 1)
        assert timed.peak_c == 1020

    def test_a_target_that_is_reached_already_only_holds(self) -> None:
        assert timing(20, [Segment(100, 20, 90)]).duration_h == pytest.approx(1.5)

    @given(
        st.lists(
            st.builds(Segment, st.floats(20, 400), st.floats(0, 1400), st.floats(0, 600)),
            min_size=1,
            max_size=8,
        )
    )
    def test_spans_follow_each_other_and_the_curve_meets_every_target(
        self, segments: list[Segment]
    ) -> None:
        timed = timing(20, segments)
        assert timed.spans[0].start_h == 0
        assert timed.duration_h == timed.spans[-1].end_h
        for one, after in zip(timed.spans, timed.spans[1:], strict=False):
            assert one.end_h == after.start_h
        for span, segment in zip(timed.spans, segments, strict=True):
            assert temperature_c(20, segments, span.end_h) == pytest.approx(
                segment.target_c, abs=1e-6
            )
        assert timed.peak_c == max(20, *(each.target_c for each in segments))

    def test_the_curve_stays_where_it_is_before_the_start_during_holds_and_at_the_end(self) -> None:
        segments = [Segment(50, 70, 60), Segment(100, 170)]
        hours = [-1, 0, 0.5, 1.5, 2.5, 9]
        assert [temperature_c(20, segments, at) for at in hours] == [20, 20, 45, 70, 120, 170]


class TestCone:
    @pytest.mark.parametrize("rate", [15, 60, 150])
    def test_a_ramp_to_a_cones_end_point_puts_down_this_cone_and_no_more(self, rate: float) -> None:
        for cone in cones()[3:]:
            fired = firing(20, [Segment(rate, end_point_c(cone, DEFAULT_TYPE, rate))])
            assert fired.cone == cone
            assert fired.margin_c(cone) == pytest.approx(0)
            assert fired.cone_position == pytest.approx(0)
            assert codes(fired) == ["witness_decides"]

    def test_a_cone_is_down_from_two_degrees_below_its_end_point(self) -> None:
        """The maker's tolerance, ±2 °C: potters.org/subject63823.htm."""
        assert firing(20, [Segment(60, 1220)]).cone == "6"
        almost = firing(20, [Segment(60, 1219.9)])
        assert almost.cone == "5.5"
        assert almost.cone_position == pytest.approx((1219.9 - 1203) / (1222 - 1203))

    def test_the_published_glaze_schedule_to_1250_overfires_cone_6(self) -> None:
        """sitawong.com, "glaze cone 6": 100 °C/h to 600, 150 °C/h to 1250 °C and half an hour.
        The chart has cone 6 at 1243 °C and cone 7 at 1257 °C for 150 °C/h."""
        fired = firing(20, [Segment(100, 600), Segment(150, 1250, 30)])
        assert (fired.cone, fired.cone_position) == ("6", 0.5)
        assert fired.margin_c("6") == 7
        assert fired.margin_c("7") == -7
        assert codes(fired) == ["witness_decides", "hold_not_counted"]

    def test_the_rate_is_the_mean_over_the_last_hundred_degrees_of_heating(self) -> None:
        """50 °C at 150 °C/h and 50 °C at 50 °C/h: 100 °C in 4/3 h."""
        fired = firing(20, [Segment(150, 1150), Segment(50, 1200)])
        assert fired.rate_c_per_h == pytest.approx(75)

    def test_holds_and_dips_on_the_way_are_not_heating(self) -> None:
        held = firing(20, [Segment(150, 1150, 120), Segment(50, 1200)])
        assert held.rate_c_per_h == pytest.approx(75)
        assert "hold_not_counted" in codes(held)
        dipped = firing(20, [Segment(150, 1180), Segment(300, 1150), Segment(50, 1200)])
        assert dipped.rate_c_per_h == pytest.approx(75)

    def test_a_hold_far_below_the_peak_is_no_matter(self) -> None:
        assert codes(firing(20, [Segment(60, 90, 600), *TO_CONE_6])) == ["witness_decides"]

    def test_cooling_after_the_peak_changes_nothing(self) -> None:
        assert firing(20, [*TO_CONE_6, Segment(80, 1000)]).cone == "6"

    def test_a_short_rise_is_read_over_what_there_is(self) -> None:
        assert firing(1180, [Segment(60, 1222)]).rate_c_per_h == pytest.approx(60)

    def test_rates_outside_the_chart_are_said(self) -> None:
        slow = firing(20, [Segment(100, 1000), Segment(10, 1185)])
        assert slow.cone == "6"
        assert slow.cautions[1].message.startswith(
            "The kiln rises at 10 °C/h over the last 100 °C, slower than the 15 °C/h that the"
        )
        fast = firing(20, [Segment(200, 1243)])
        assert fast.cone == "6"
        assert fast.cautions[1].message.startswith(
            "The kiln rises at 200 °C/h over the last 100 °C, faster than the 150 °C/h that the"
        )

    def test_the_coolest_cones_have_no_slow_column(self) -> None:
        assert "rate_below_table" in codes(firing(20, [Segment(30, 586)]))

    def test_below_the_coolest_cone_there_is_none_until_it_begins_to_bend(self) -> None:
        """The bending band is usually under 40 °F, 22 °C: the maker's chart."""
        cold = firing(20, [Segment(60, 500)])
        assert (cold.cone, cold.cone_position) == (None, 0)
        assert cold.cautions[-1].message == (
            "500 °C is below the end point of every cone in the table."
        )
        bending = firing(20, [Segment(60, 575)])
        assert bending.cone is None
        assert bending.cone_position == pytest.approx(0.5)

    def test_above_the_hottest_cone_it_is_said(self) -> None:
        hot = firing(20, [Segment(60, 1400)])
        assert (hot.cone, hot.cone_position) == ("14", 0)
        assert codes(hot) == ["witness_decides", "above_table"]

    def test_a_program_that_never_heats_reaches_nothing(self) -> None:
        cold = firing(600, [Segment(100, 500)])
        assert (cold.cone, cold.rate_c_per_h, cold.margin_c("6")) == (None, None, None)
        assert [each.message for each in cold.cautions] == [
            "No target is above the start at 600 °C: the kiln never heats."
        ]

    def test_a_first_target_below_the_start_is_said(self) -> None:
        fired = firing(100, [Segment(100, 60), *TO_CONE_6])
        assert fired.cautions[-1] == Caution("starts_downwards", {"target_c": 60, "start_c": 100})
        assert "below the start at 100 °C" in fired.cautions[-1].message

    def test_a_cone_that_its_kind_does_not_have_has_no_margin(self) -> None:
        assert firing(20, TO_CONE_6, "large_regular").cone == "6"
        assert firing(20, TO_CONE_6, "large_regular").margin_c("14") is None

    @given(st.floats(15, 150), st.floats(590, 1390))
    def test_more_heat_never_means_a_cooler_cone(self, rate: float, peak_c: float) -> None:
        names = (None, *cones())
        low, high = (firing(20, [Segment(rate, each)]) for each in (peak_c, peak_c + 5))
        assert (names.index(low.cone), low.cone_position) <= (
            names.index(high.cone),
            high.cone_position,
        ) or names.index(low.cone) < names.index(high.cone)
        assert 0 <= low.cone_position <= 1


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


@pytest.mark.parametrize(
    ("start_c", "segments", "path", "message"),
    [
        (20, [], "segments", "A program needs at least one segment."),
        (20, [Segment(0, 600)], "segments.0.rate_c_per_h", "This must be more than 0."),
        (20, [Segment(-5, 600)], "segments.0.rate_c_per_h", "This must be more than 0."),
        (20, [Segment(math.inf, 600)], "segments.0.rate_c_per_h", "an ordinary number"),
        (20, [Segment(60, math.nan)], "segments.0.target_c", "an ordinary number"),
        (20, [Segment(60, 2232)], "segments.0.target_c", "2232 °C is hotter than any kiln."),
        (-80, [Segment(60, 600)], "start_c", "-80 °C is colder than any kiln room."),
        (20, [Segment(60, 600, math.inf)], "segments.0.hold_min", "an ordinary number"),
        (20, [Segment(60, 600, -1)], "segments.0.hold_min", "This can't be less than 0."),
        (20, [Segment(60, 600, 60_000)], "segments.0.hold_min", "1000 h is too long."),
        (20, [Segment(0.1, 600)], "segments.0.rate_c_per_h", "5800 h is too long."),
        (20, [Segment(60, 600)] * 65, "segments", "at most 64 segments"),
    ],
)
def test_a_program_that_is_none_is_refused_where_it_is_wrong(
    start_c: float, segments: list[Segment], path: str, message: str
) -> None:
    [trouble] = refusal(start_c, *segments)
    assert trouble.path == path
    assert message in trouble.message


def test_all_that_is_wrong_is_said_at_once() -> None:
    problems = refusal(math.nan, Segment(0, 5000))
    assert [each.path for each in problems] == [
        "start_c",
        "segments.0.rate_c_per_h",
        "segments.0.target_c",
    ]


def test_every_sentence_ends_as_one() -> None:
    assert all(text.endswith(".") for text in (*MESSAGES.values(), *CAUTIONS.values()))


def test_its_examples_are_true() -> None:
    assert doctest.testmod(module).failed == 0
