"""What the soft wall's weight asks of its builder."""

import re
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.statics.bending import SoftWall
from planning.statics.building import LEAST_BAND_MM, MOST_RESTS, STAGES, growth
from planning.statics.cautions import MESSAGES, Caution, advice_in_rows
from planning.statics.midwall import MidWall
from planning.statics.selfweight import SelfWeight, self_weight, stations
from planning.statics.strength import SOFT_CLAY, Pause, YieldRange, pause_at

from .walls import (
    BELLIED,
    CHEST,
    CLOSED,
    DENSITY,
    FLAT_BOWL,
    SHOULDERED,
    WAISTED,
    WEIGHT,
    cone,
    cylinder,
    drawn,
)

ALL = (BELLIED, CHEST, CLOSED, FLAT_BOWL, SHOULDERED, WAISTED)


def of(wall: MidWall, strength: YieldRange = SOFT_CLAY) -> SelfWeight:
    return self_weight(wall, wet_density_g_per_cm3=DENSITY, strength=strength)


def codes(answer: SelfWeight) -> list[str]:
    return [each.cause.code for each in answer.cautions]


def caution(answer: SelfWeight, code: str) -> Caution:
    return next(each for each in answer.cautions if each.cause.code == code)


class TestStrength:
    def test_the_range_spans_a_factor_of_three_or_more(self) -> None:
        """Common practice, no source: a potter's clay is soft or firm as it comes."""
        assert SOFT_CLAY.high_kpa / SOFT_CLAY.low_kpa >= 3
        assert SOFT_CLAY.middle_kpa == pytest.approx((10 * 50) ** 0.5, abs=0.5)

    def test_a_pause_needs_a_height(self) -> None:
        assert pause_at(np.array([np.inf, np.inf, np.inf])) is None
        assert pause_at(np.array([80.0, 120, np.inf])) == Pause(80, 120, None)


class TestUprightWall:
    def test_a_short_one_asks_for_nothing(self) -> None:
        assert of(drawn(*CHEST)) == SelfWeight((), (), ())

    def test_it_yields_at_the_height_whose_weight_doubled_is_the_yield(self) -> None:
        """Its foot bears 2 - 1/βH times w H: hand calculation with the clamped tank's moment
        (Timoshenko & Woinowsky-Krieger, art. 117; from memory), thin enough for it."""
        wall = cylinder(400, 700, 2)
        strength = YieldRange(4, 8, 16)
        heights = growth(wall, WEIGHT, 0.0)
        reached = heights.reached(heights.found.stress_at_the_surface, strength)
        length = (400 * 2) ** 0.5 / (3 * 0.75) ** 0.25
        # The foot's stress is w (2H - 1/β), a fraction less with shear.
        expected = (np.array([4, 8, 16]) / 1e3 / WEIGHT + length) / 2
        assert reached == pytest.approx(expected, rel=0.01)

    def test_of_a_tall_one_the_foot_is_named(self) -> None:
        (only,) = of(cylinder(60, 500, 8)).cautions
        assert only.message == (
            "The foot carries all of the wall. If the clay is very soft, pause at "
            f"{only.pause.early_mm:.4g} mm until the wall below has stiffened."
        )
        assert (only.pause.about_mm, only.pause.late_mm) == (None, None)
        assert only.severity < 1


class TestCauses:
    def test_a_narrow_foot_is_named_with_its_pause(self) -> None:
        foot = of(drawn(*BELLIED)).cautions[0]
        assert foot.message == (
            "The foot is narrow for the wall that it carries. Pause at about "
            f"{foot.pause.about_mm:.4g} mm, at {foot.pause.early_mm:.4g} mm at the earliest, "
            "until the wall below has stiffened."
        )
        assert foot.severity > 1

    def test_a_waist_under_a_wide_top_is_the_first_thing_named(self) -> None:
        first = of(drawn(*WAISTED)).cautions[0]
        assert first.cause.code == "waist"
        assert first.cause.values["place_mm"] == pytest.approx(100, abs=5)
        assert re.match(
            r"At about [\d.]+ mm the wall carries much for soft clay. Pause at", first.message
        )

    def test_a_flat_shoulder_under_a_neck_is_named_twice(self) -> None:
        """It bends under the neck when joined, and hangs while it is fresh."""
        answer = of(drawn(*SHOULDERED))
        assert {"shoulder", "leans_in"} <= set(codes(answer))
        assert (
            "If the clay is very soft, let rows reach out by" in caution(answer, "leans_in").message
        )

    def test_a_flat_bowl_hangs_and_is_pulled_apart(self) -> None:
        answer = of(drawn(*FLAT_BOWL, base=10))
        assert codes(answer)[0] == "leans_out"
        out = answer.cautions[0]
        assert re.fullmatch(
            r"From about 0 mm on the wall leans out so flat that fresh rows hang free. Let rows "
            r"reach out by about [\d.]+ mm, between [\d.]+ mm and [\d.]+ mm, then wait until they "
            r"have stiffened.",
            out.message,
        )
        assert "opens" in codes(answer)

    def test_wide_cones_open_where_membrane_theory_has_tension(self) -> None:
        """A flared wall wants to open (see the membrane's tests); a closing one doesn't."""
        soft = YieldRange(1, 2, 4)
        assert "opens" in codes(of(cone(60, 200, np.radians(40), 8), soft))
        assert "opens" not in codes(of(cone(200, 200, -np.radians(40), 8), soft))

    @pytest.mark.parametrize("shape", ALL)
    def test_the_gravest_comes_first_and_no_sentence_speaks_of_stress(
        self, shape: tuple[tuple[float, float], ...]
    ) -> None:
        answer = of(drawn(*shape), YieldRange(2, 6, 18))
        severities = [each.severity for each in answer.cautions]
        assert severities == sorted(severities, reverse=True)
        assert answer.cautions
        for each in answer.cautions:
            assert not re.search(r"pascal|kPa|stress|yield|%\(", each.message)
            assert each.pause.early_mm <= (each.pause.about_mm or np.inf)


def test_no_sentence_speaks_of_stress_or_gives_a_verdict() -> None:
    for message in MESSAGES.values():
        assert not re.search(r"pascal|kPa|stress|yield|fail|collapse|will|must", message)


class TestRows:
    TOPS = np.linspace(12.0, 360.0, 30)

    def test_a_pause_is_counted_in_whole_rows(self) -> None:
        note = advice_in_rows(Pause(90, 109, 160), self.TOPS)
        assert note.message == (
            "Pause about row 9, between 7 and 13, until the wall below has stiffened."
        )

    def test_what_isnt_reached_isnt_named(self) -> None:
        assert advice_in_rows(Pause(90, 109, None), self.TOPS).message == (
            "Pause about row 9, after row 7 at the earliest, until the wall below has stiffened."
        )
        assert advice_in_rows(Pause(90, None, None), self.TOPS).message == (
            "If the clay is very soft, pause after row 7 until the wall below has stiffened."
        )

    def test_within_one_row_there_is_no_range(self) -> None:
        assert advice_in_rows(Pause(97, 99, 106), self.TOPS).message == (
            "Pause after row 8 until the wall below has stiffened."
        )

    def test_the_first_row_is_the_least(self) -> None:
        assert advice_in_rows(Pause(3, None, None), self.TOPS).values == {"early_row": 1}


class TestRests:
    def test_each_rest_lets_the_next_band_stand_by_itself(self) -> None:
        """The first is the pause itself; above each the middle yield isn't reached before the
        next, by a wall cut off there."""
        wall, strength = drawn(*BELLIED), YieldRange(3, 6, 12)
        found = of(wall, strength).rests
        assert len(found) > 1
        starts = [float(wall.height_mm[0]), *[each.about_mm or 0.0 for each in found]]
        for low, high in pairwise(starts):
            soft = SoftWall(wall, WEIGHT, low)
            tops = np.flatnonzero(soft.heights_mm < high)[1:].tolist()
            assert soft.resultants(tops).stress_at_the_surface.max() < 0.006 * 1.1
        last = SoftWall(wall, WEIGHT, starts[-1])
        whole = last.resultants([len(last.nodes_mm) - 1])
        assert whole.stress_at_the_surface.max() < 0.006 * 1.1

    def test_they_rise_by_two_rows_at_least(self) -> None:
        wall = drawn(*FLAT_BOWL, base=10)
        found = of(wall).rests
        slant = wall.slant_at(np.array([10.0, *[each.about_mm or 0.0 for each in found]]))
        assert len(found) > 0
        assert (np.diff(slant) >= LEAST_BAND_MM).all()

    def test_a_rest_of_less_than_two_rows_is_none(self) -> None:
        """Neither of clay that bears no wall at all, nor just below the rim."""
        assert of(drawn(*BELLIED), YieldRange(0.1, 0.2, 0.4)).rests == ()
        wall = cylinder(60, 300, 8)
        (foot,) = stations(wall, wet_density_g_per_cm3=DENSITY, heights_mm=np.zeros(1))
        strength = YieldRange(1, 0.97 * foot.surface_kpa, 2 * foot.surface_kpa)
        (only,) = of(wall, strength).rests
        assert only.about_mm is not None
        assert 285 < only.about_mm < 295

    def test_there_are_only_so_many(self) -> None:
        assert len(of(cylinder(100, 2000, 8), YieldRange(1, 1.9, 4)).rests) == MOST_RESTS


class TestFigures:
    def test_a_cylinders_are_those_of_the_handbook(self) -> None:
        """w t (H - z) and w (H - z): 300 mm of clay at 1.95 g/cm³ press with 5.7 kPa."""
        heights = np.array([0.0, 100, 200, 300])
        lines = stations(cylinder(60, 300, 8), wet_density_g_per_cm3=DENSITY, heights_mm=heights)
        assert [each.height_mm for each in lines] == pytest.approx(heights, abs=1e-6)
        expected = -WEIGHT * 8 * (300 - heights)
        assert [each.meridional_n_per_mm for each in lines] == pytest.approx(expected, abs=1e-9)
        assert [each.hoop_n_per_mm for each in lines] == pytest.approx(np.zeros(4), abs=1e-9)
        assert lines[1].middle_kpa == pytest.approx(3.82, abs=0.01)
        assert lines[1].surface_kpa == pytest.approx(3.82, abs=0.05)
        assert lines[0].surface_kpa > 1.7 * 5.7

    def test_where_the_wall_lies_level_it_has_no_membrane_forces(self) -> None:
        wall = drawn(*CLOSED)
        *_, top = stations(wall, wet_density_g_per_cm3=DENSITY, heights_mm=wall.height_mm[::64])
        (rim,) = stations(wall, wet_density_g_per_cm3=DENSITY, heights_mm=wall.height_mm[-1:])
        assert top.meridional_n_per_mm is not None
        assert (rim.meridional_n_per_mm, rim.hoop_n_per_mm) == (None, None)


def test_a_pot_that_isnt_round_says_what_its_figures_are() -> None:
    wall = drawn(*CHEST)
    columns = wall.slant_mm, wall.radius_mm, wall.height_mm, wall.thickness_mm
    (note,) = of(MidWall(*columns, is_round=False)).notes
    assert note.message == (
        "The pot isn't round. This was worked out for a round pot that is as long around; flat "
        "sides and corners bend more."
    )


def test_more_stages_hardly_move_a_pause() -> None:
    for shape in (BELLIED, WAISTED, FLAT_BOWL):
        wall = drawn(*shape)
        few, many = (growth(wall, WEIGHT, 10.0, n) for n in (STAGES, 5 * STAGES))
        heights = [g.reached(g.found.stress_at_the_surface, SOFT_CLAY) for g in (few, many)]
        assert heights[0] == pytest.approx(heights[1], abs=2)


@settings(max_examples=30)
@given(
    halves=st.lists(st.floats(30, 180), min_size=3, max_size=8),
    height=st.floats(60, 600),
    wall_mm=st.floats(5, 15),
    scale=st.floats(1.1, 3),
    closed=st.booleans(),
)
def test_any_pot_has_an_answer_and_stronger_clay_a_milder_one(
    halves: list[float], height: float, wall_mm: float, scale: float, closed: bool
) -> None:
    """Ranges keep their order, heights lie on the wall, and clay that is stronger throughout
    neither pauses earlier nor makes anything graver."""
    halves = [*halves, 0.0] if closed else halves
    levels = np.linspace(0, height, len(halves)).tolist()
    wall = drawn(*zip(levels, halves, strict=True), base=wall_mm, rim=wall_mm)
    stronger = YieldRange(10 * scale, 22 * scale, 50 * scale)
    weak, strong = of(wall), of(wall, stronger)
    low, rim = wall.height_mm.min() - 1e-6, wall.height_mm.max() + 1e-6
    pauses = [each.pause for each in weak.cautions] + list(weak.rests)
    for each in pauses:
        known = [mm for mm in (each.early_mm, each.about_mm, each.late_mm) if mm is not None]
        assert known == sorted(known)
        assert low <= known[0] <= known[-1] <= rim
    if strong.cautions:
        assert strong.cautions[0].severity < weak.cautions[0].severity
        first = min(each.pause.early_mm for each in strong.cautions)
        assert first >= min(each.pause.early_mm for each in weak.cautions)
