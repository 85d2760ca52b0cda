"""Any drawing, from form to build check: everything agrees with everything else, or it is refused
with a reason that has a place and a sentence. Nothing else happens."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.bench.checking import BuildCheck, build_check
from planning.bench.measured import Measured
from planning.bench.sentences import MeasuredRefused
from planning.geometry.form import Form, form
from planning.geometry.inputs import PlanInputs
from planning.geometry.plan import Figures, figures
from planning.geometry.refusal import FormRefused, Trouble
from planning.rows.choices import Choices
from planning.rows.own_weight import OwnWeight, own_weight
from planning.rows.rows import RowList, row_list
from planning.rows.seams import APART_DEG, ROWS_BELOW, distance_deg
from planning.rows.sentences import RowsRefused
from planning.rows.sentences import Trouble as RowsTrouble
from tests.planning.geometry.test_plan import any_inputs, sound_inputs

LEVEL_MM = 1.0
"""Where the widths at one height differ by more, a row lies on a level shoulder."""

ACTIONS = {"within", "steer", "press_in", "ease_out", "dart", "rebuild", "leave"}


@st.composite
def ways_to_lay(draw: st.DrawFn) -> Choices:
    return Choices(
        coil_mm=draw(st.floats(3, 60)),
        wet_density_g_per_cm3=1.95,
        rows_per_blend=draw(st.integers(1, 4)),
        hand_mm=draw(st.floats(0, 150)),
        longest_coil_mm=draw(st.none() | st.floats(100, 1500)),
    )


def form_or_reasons(asked: PlanInputs) -> Form | tuple[Trouble, ...]:
    try:
        return form(asked)
    except FormRefused as refused:
        return refused.problems


def rows_or_reasons(made: Form, how: Choices) -> RowList | tuple[RowsTrouble, ...]:
    try:
        return row_list(made, how)
    except RowsRefused as refused:
        return refused.problems


def checks_or_reasons(
    made: Form, drying_pct: float, measured: Measured
) -> tuple[BuildCheck, ...] | tuple[RowsTrouble, ...]:
    try:
        return tuple(build_check(made, drying_pct, [measured]))
    except MeasuredRefused as refused:
        return refused.problems


def holds(asked: PlanInputs, how: Choices) -> None:
    made = form_or_reasons(asked)
    if isinstance(made, tuple):
        assert made
        assert all(each.path and each.message.endswith(".") for each in made)
        return
    computed = figures(asked, made)
    _assert_clay(asked, computed)
    listed = rows_or_reasons(made, how)
    if isinstance(listed, tuple):
        assert {each.path for each in listed} <= {"coil_mm", "longest_coil_mm"}
        assert listed
        assert all(each.message.endswith(".") for each in listed)
        return
    _assert_rows(computed, listed, how)
    _assert_own_weight(own_weight(made, listed, how.wet_density_g_per_cm3), listed)
    _assert_build_check(made, listed, asked.body.drying_shrinkage_pct)


def _assert_clay(asked: PlanInputs, computed: Figures) -> None:
    parts = computed.wall_cm3 + computed.base_cm3 + computed.corner_cm3 + computed.foot_ring_cm3
    assert min(computed.wall_cm3, computed.base_cm3, computed.capacity_cm3) > 0
    assert computed.total_cm3 == pytest.approx(parts, rel=1e-12)
    clay, body = computed.clay, asked.body
    wet = computed.total_cm3 * body.wet_density_g_per_cm3 + asked.added_g
    assert clay.pot_wet_g == pytest.approx(wet, rel=1e-12)
    assert clay.fired_g < clay.bone_dry_g < clay.pot_wet_g
    assert clay.pot_wet_g <= clay.issue_low_g <= clay.issue_g <= clay.issue_high_g
    for size in ("height_mm", "front_mm", "depth_mm"):
        wet_mm, dry_mm, fired_mm = (
            getattr(each, size) for each in (computed.wet, computed.dry, computed.fired)
        )
        assert 0 < fired_mm <= dry_mm <= wet_mm


def _assert_rows(computed: Figures, listed: RowList, how: Choices) -> None:
    """Their coils are the wall, and they rise to the rim."""
    laid = sum(row.perimeter_mm for row in listed.rows) * listed.section_mm2
    assert laid / 1000 == pytest.approx(computed.wall_cm3, rel=1e-6)
    grams = sum(row.coil_g for row in listed.rows)
    assert grams == pytest.approx(computed.wall_cm3 * how.wet_density_g_per_cm3, rel=1e-6)
    assert listed.section_mm2 == pytest.approx(np.pi / 4 * listed.coil_mm**2)
    assert [row.row for row in listed.rows] == list(range(1, len(listed.rows) + 1))
    assert all(low.height_mm <= high.height_mm + 1e-9 for low, high in pairwise(listed.rows))
    rim, top = computed.height_lines[-1], listed.rows[-1]
    assert top.height_mm == pytest.approx(rim.height_mm)
    assert top.front_mm < rim.front_mm + 1e-6, "a level stretch at the top leads inwards"
    assert listed.rows[-1].blend
    if how.longest_coil_mm is not None:
        assert all(row.coil_length_mm <= how.longest_coil_mm + 1e-6 for row in listed.rows)
    told = any(each.code == "seams_close" for each in listed.checks)
    for above, row in enumerate(listed.rows):
        for below in listed.rows[max(above - ROWS_BELOW, 0) : above]:
            assert told or distance_deg(row.seams, below.seams) >= APART_DEG - 1e-6
    assert all(1 <= rest.after_row < len(listed.rows) for rest in listed.rests)


def _assert_own_weight(found: OwnWeight, listed: RowList) -> None:
    if not found.stations:  # a lump, no shell, or a brim as low as two rows
        laid = listed.middle
        assert laid.perimeter_mm.max() < 10 * laid.wall_mm.max() or len(laid.slant_mm) < 4
        return
    assert len(found.stations) == len(listed.rows) + 1
    assert np.isfinite([[each.middle_kpa, each.surface_kpa] for each in found.stations]).all()
    for pause in [*[each.pause for each in found.cautions], *found.rests]:
        known = [row for row in (pause.early, pause.about, pause.late) if row is not None]
        assert known == sorted(known)
        assert 1 <= known[0] <= known[-1] <= len(listed.rows)
    assert all("%(" not in each.message for each in found.cautions)


def _assert_build_check(made: Form, listed: RowList, drying_pct: float) -> None:
    """As planned is within, whatever the form; too wide and too narrow ask for something."""
    row = listed.rows[len(listed.rows) // 2]
    place = made.surface.parameters_at(np.array([row.height_mm]))
    level = abs(2 * made.surface.curve.at(place)[0, 0] - row.front_mm) > LEVEL_MM
    for share in (1.0, 0.7, 1.08, 1.3):
        measured = Measured(row.height_mm, "soft", share * row.front_mm)
        checks = checks_or_reasons(made, drying_pct, measured)
        if isinstance(checks[0], BuildCheck):
            assert checks[0].action in ACTIONS
            assert checks[0].action == "within" or share != 1.0 or level
            assert checks[0].said.message.endswith(".")
        else:
            assert checks[0].path.startswith("measured.0.")
            assert checks[0].message.endswith(".")


@given(sound_inputs(), ways_to_lay())
@settings(max_examples=40)
def test_what_can_be_built_agrees_from_form_to_build_check(asked: PlanInputs, how: Choices) -> None:
    holds(asked, how)


@given(any_inputs(), ways_to_lay())
@settings(max_examples=40)
def test_whatever_is_drawn_agrees_or_is_refused_with_a_reason(
    asked: PlanInputs, how: Choices
) -> None:
    holds(asked, how)


@pytest.mark.slow
@given(st.one_of(sound_inputs(), any_inputs()), ways_to_lay())
@settings(max_examples=600)
def test_so_do_six_hundred_more(asked: PlanInputs, how: Choices) -> None:
    holds(asked, how)
