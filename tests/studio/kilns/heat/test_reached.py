"""The cone that a program reaches, by the published chart (sources: `studio.kilns.cones`)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.kilns.cones import DEFAULT_TYPE, cones, end_point_c
from studio.kilns.heat.cautions import CAUTIONS, Caution
from studio.kilns.heat.program import Segment
from studio.kilns.heat.reached import Firing, firing, in_kiln
from studio.kilns.refusal import MESSAGES

TO_CONE_6 = (Segment(100, 600), Segment(60, 1222))


def codes(fired: Firing) -> list[str]:
    return [each.code for each in fired.cautions]


@pytest.mark.parametrize("rate", [15, 60, 150])
def test_a_ramp_to_a_cones_end_point_puts_down_this_cone_and_no_more(rate: float) -> None:
    for cone in cones()[3:]:
        fired = firing(20, [Segment(rate, end_point_c(cone, DEFAULT_TYPE, rate))])
        assert fired.cone == cone
        assert fired.margin_c(cone) == pytest.approx(0)
        assert fired.cone_position == pytest.approx(0)
        assert codes(fired) == ["witness_decides"]


def test_a_cone_is_down_from_two_degrees_below_its_end_point() -> None:
    """The maker's tolerance, ±2 °C: potters.org/subject63823.htm."""
    assert firing(20, [Segment(60, 1220)]).cone == "6"
    almost = firing(20, [Segment(60, 1219.9)])
    assert almost.cone == "5.5"
    assert almost.cone_position == pytest.approx((1219.9 - 1203) / (1222 - 1203))


def test_the_published_glaze_schedule_to_1250_overfires_cone_6() -> None:
    """sitawong.com, "glaze cone 6": 100 °C/h to 600, 150 °C/h to 1250 °C and half an hour.
    The chart has cone 6 at 1243 °C and cone 7 at 1257 °C for 150 °C/h. The hold makes it work like
    a rise at 53 °C/h, for which the chart has cone 8 at 1246 and cone 9 at 1257 °C."""
    fired = firing(20, [Segment(100, 600), Segment(150, 1250, 30)])
    assert fired.cone_without_holds == "6"
    assert fired.cone == "9"
    assert "holds_add" in codes(fired)
    unheld = firing(20, [Segment(100, 600), Segment(150, 1250)])
    assert unheld.cone == "6"
    assert unheld.cone_position == pytest.approx(0.5, abs=0.01)
    assert unheld.margin_c("6") == pytest.approx(7, abs=0.1)
    assert unheld.margin_c("7") == pytest.approx(-7, abs=0.1)


def test_a_hold_far_below_the_peak_is_no_matter() -> None:
    assert codes(firing(20, [Segment(60, 90, 600), *TO_CONE_6])) == ["witness_decides"]


def test_cones_go_on_bending_while_the_program_cools_slowly() -> None:
    """Down as fast as up doubles ∫exp(-E/RT)dt: like a rise at 30 °C/h, for which the chart has
    cone 6 at 1204 °C (1185 + 37 ln(30/15)/ln(60/15))."""
    cooled = firing(20, [*TO_CONE_6, Segment(60, 700)])
    assert cooled.margin_c("6") == pytest.approx(1222 - 1203.5, abs=1)
    assert cooled.cone_without_holds == "6"
    assert "holds_add" in codes(cooled)
    fast = firing(20, [*TO_CONE_6, Segment(1200, 700)])
    assert fast.margin_c("6") == pytest.approx(0, abs=2)


def test_rates_outside_the_chart_are_said() -> None:
    slow = firing(20, [Segment(100, 1000), Segment(10, 1185)])
    assert slow.cone == "6"
    assert slow.cautions[1].message.startswith(
        "The kiln rises at 10 °C/h over the last 100 °C, slower than the 15 °C/h that the"
    )
    fast = firing(20, [Segment(200, 1243)])
    assert fast.cone == "5.5"  # 1243 °C is cone 6 at 150 °C/h, so not quite at 200
    assert fast.margin_c("6") == pytest.approx(-7, abs=1)
    assert fast.cautions[1].message.startswith(
        "The kiln rises at 200 °C/h over the last 100 °C, faster than the 150 °C/h that the"
    )


def test_the_coolest_cones_have_no_slow_column() -> None:
    assert "rate_below_table" in codes(firing(20, [Segment(30, 586)]))


def test_below_the_coolest_cone_there_is_none_until_it_begins_to_bend() -> None:
    """The bending band is usually under 40 °F, 22 °C: the maker's chart."""
    cold = firing(20, [Segment(60, 500)])
    assert (cold.cone, cold.cone_position) == (None, 0)
    assert cold.cautions[-1].message == (
        "500 °C is below the end point of every cone in the chart."
    )
    bending = firing(20, [Segment(60, 575)])
    assert bending.cone is None
    assert bending.cone_position == pytest.approx(0.5)


def test_above_the_hottest_cone_it_is_said() -> None:
    hot = firing(20, [Segment(60, 1400)])
    assert (hot.cone, hot.cone_position) == ("14", 0)
    assert codes(hot) == ["witness_decides", "above_table"]


def test_a_program_that_never_heats_reaches_nothing() -> None:
    cold = firing(600, [Segment(100, 500)])
    assert (cold.cone, cold.rate_c_per_h, cold.margin_c("6")) == (None, None, None)
    assert [each.message for each in cold.cautions] == [
        "No target is above the start at 600 °C: the kiln never heats."
    ]


def test_a_first_target_below_the_start_is_said() -> None:
    fired = firing(100, [Segment(100, 60), *TO_CONE_6])
    assert fired.cautions[-1] == Caution("starts_downwards", {"target_c": 60, "start_c": 100})
    assert "below the start at 100 °C" in fired.cautions[-1].message


def test_a_cone_that_its_kind_does_not_have_has_no_margin() -> None:
    assert firing(20, TO_CONE_6, "large_regular").cone == "6"
    assert firing(20, TO_CONE_6, "large_regular").margin_c("14") is None


@given(st.floats(15, 150), st.floats(590, 1390))
def test_more_heat_never_means_a_cooler_cone(rate: float, peak_c: float) -> None:
    names = (None, *cones())
    low, high = (firing(20, [Segment(rate, each)]) for each in (peak_c, peak_c + 5))
    assert (names.index(low.cone), low.cone_position) <= (
        names.index(high.cone),
        high.cone_position,
    ) or names.index(low.cone) < names.index(high.cone)
    assert 0 <= low.cone_position <= 1


@pytest.mark.parametrize("rate", [15, 60, 150])
def test_the_same_heat_work_at_60_is_the_other_column_of_the_chart(rate: float) -> None:
    for cone in cones()[3:]:
        fired = firing(20, [Segment(rate, end_point_c(cone, DEFAULT_TYPE, rate))])
        assert fired.end_point_c_at_60 == pytest.approx(
            end_point_c(cone, DEFAULT_TYPE, 60), abs=0.01
        )


@pytest.mark.parametrize("peak_c", [590, 800, 1005, 1230, 1360])
def test_a_rise_at_60_is_its_own_measure(peak_c: float) -> None:
    assert firing(20, [Segment(60, peak_c)]).end_point_c_at_60 == pytest.approx(peak_c, abs=0.01)


def test_what_a_hold_adds_is_said_with_the_cone_that_it_makes() -> None:
    """At 1222 °C a rise of 60 °C/h bends as much in half an hour as one of 26 °C/h does on its
    way; the chart has cone 7 at 1201 °C for 15 and 1239 °C for 60 °C/h."""
    fired = firing(20, [Segment(100, 600), Segment(60, 1222, 30)])
    assert (fired.cone_without_holds, fired.cone) == ("6", "7")
    assert 15 < fired.holds_add_c < 30
    assert fired.end_point_c_at_60 == pytest.approx(1222 + fired.holds_add_c, abs=0.2)
    (said,) = (each for each in fired.cautions if each.code == "holds_add")
    assert said.message.startswith("Holds, and cooling by the program, add as much heat work as ")


def test_a_hold_that_leaves_the_chart_says_so_once() -> None:
    assert codes(firing(20, [Segment(60, 1185, 300)])) == [
        "witness_decides",
        "holds_add",
        "hold_beyond_table",
    ]
    assert "hold_beyond_table" not in codes(firing(20, [Segment(10, 1185, 300)]))


def test_kinds_with_few_rates_say_how_a_hold_is_reckoned() -> None:
    held = [Segment(60, 1220, 20)]
    assert "few_rates" in codes(firing(20, held, "large_regular"))
    assert "few_rates" not in codes(firing(20, held))


def test_every_sentence_ends_as_one() -> None:
    assert all(text.endswith(".") for text in (*MESSAGES.values(), *CAUTIONS.values()))


def test_every_caution_names_its_source() -> None:
    assert [each for each in CAUTIONS if not Caution(each).source] == []


@pytest.mark.parametrize("off_c", [-30.0, -11.0, 0.0, 8.0, 25.0])
def test_a_kiln_that_fires_hotter_reaches_what_a_hotter_ramp_would(off_c: float) -> None:
    """A plain ramp that ends so many degrees further, by the chart's own column."""
    there = in_kiln(firing(20, TO_CONE_6), off_c)
    ramp = firing(20, (TO_CONE_6[0], Segment(60, 1222 + off_c)))
    assert there.cone == ramp.cone
    assert there.cone_position == pytest.approx(ramp.cone_position, abs=0.1)


def test_a_program_that_never_heats_stays_so_in_any_kiln() -> None:
    never = firing(900, (Segment(100, 500),))
    assert in_kiln(never, 20) is never
    assert in_kiln(firing(20, (Segment(100, 300),)), -20).cone is None
