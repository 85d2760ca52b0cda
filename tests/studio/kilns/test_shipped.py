"""The shipped programs do what their names say and are slow where a school needs it."""

import pytest

from studio.kilns.cones import MAKERS_TOLERANCE_C
from studio.kilns.heat.program import temperature_c, timing
from studio.kilns.heat.reached import firing
from studio.kilns.shipped import PROGRAMS, SLOW_SCHOOL_BISQUE, Program

ROOM_C = 20


@pytest.mark.parametrize("program", PROGRAMS, ids=lambda each: each.key)
def test_each_program_reaches_its_cone_and_is_not_over_it(program: Program) -> None:
    fired = firing(ROOM_C, program.segments)
    margin = fired.margin_c(program.cone)
    assert fired.cone == program.cone
    assert margin is not None
    assert abs(margin) <= MAKERS_TOLERANCE_C
    assert fired.rate_c_per_h == pytest.approx(60)
    assert [each.code for each in fired.cautions] == ["witness_decides"]
    assert f"cone {program.cone}" in program.name


def test_the_school_bisque_is_held_for_hours_below_boiling() -> None:
    """Candling at 60-93 °C: ceramicartsnetwork.org, Techno File "Firing Programs"; 50 °C/h and
    three hours or more for thicker ware: sitawong.com. Free water has left by 100 °C."""
    first = SLOW_SCHOOL_BISQUE.segments[0]
    assert first.rate_c_per_h <= 60
    assert 80 <= first.target_c <= 90
    assert first.hold_min >= 180
    assert "vent" in SLOW_SCHOOL_BISQUE.note


@pytest.mark.parametrize("program", PROGRAMS, ids=lambda each: each.key)
def test_each_program_passes_quartz_inversion_slowly(program: Program) -> None:
    """573 °C: ceramicartsnetwork.org, Techno File. At most 100 °C/h: common practice, no source."""
    hours = [n / 100 for n in range(int(timing(ROOM_C, program.segments).duration_h * 100))]
    near = [h for h in hours if 550 <= temperature_c(ROOM_C, program.segments, h) <= 600]
    assert 50 / (near[-1] - near[0]) <= 105


def test_no_two_programs_share_a_key() -> None:
    assert len({each.key for each in PROGRAMS}) == len(PROGRAMS)
