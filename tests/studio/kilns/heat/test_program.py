"""Firing time by hand arithmetic; what is no program is refused where it is wrong."""

import doctest
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.kilns.heat import program as module
from studio.kilns.heat.program import Segment, last_rate_c_per_h, temperature_c, timing
from studio.kilns.refusal import KilnRefused, Trouble


def refusal(start_c: float, *segments: Segment) -> tuple[Trouble, ...]:
    with pytest.raises(KilnRefused) as refused:
        timing(start_c, segments)
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


class TestRate:
    def test_it_is_the_mean_over_the_last_hundred_degrees_of_heating(self) -> None:
        """50 °C at 150 °C/h and 50 °C at 50 °C/h: 100 °C in 4/3 h."""
        assert last_rate_c_per_h(20, [Segment(150, 1150), Segment(50, 1200)], 1200) == (
            pytest.approx(75)
        )

    def test_holds_and_dips_on_the_way_are_not_heating(self) -> None:
        held = [Segment(150, 1150, 120), Segment(50, 1200)]
        dipped = [Segment(150, 1180), Segment(300, 1150), Segment(50, 1200)]
        for segments in (held, dipped):
            assert last_rate_c_per_h(20, segments, 1200) == pytest.approx(75)

    def test_a_short_rise_is_read_over_what_there_is(self) -> None:
        assert last_rate_c_per_h(1180, [Segment(60, 1222)], 1222) == pytest.approx(60)

    def test_there_is_none_where_nothing_rises(self) -> None:
        assert last_rate_c_per_h(600, [Segment(100, 500)], 600) is None


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


def test_its_examples_are_true() -> None:
    assert doctest.testmod(module).failed == 0
