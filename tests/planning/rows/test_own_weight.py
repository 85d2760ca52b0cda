"""The wall's own weight, counted in the rows of a plan."""

import re
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.geometry.form import Form, form
from planning.geometry.inputs import Outline, Point, Wall
from planning.rows.carrying_on import Standing, rows_from_here
from planning.rows.choices import Choices, Lesson
from planning.rows.own_weight import OwnWeight, PauseInRows, own_weight
from planning.rows.rows import RowList, row_list
from planning.statics.midwall import STANDARD_GRAVITY
from planning.statics.strength import SOFT_CLAY, YieldRange
from tests.planning.geometry.forms import BELLIED, inputs

from .pots import DENSITY, LEAF, choices, cylinder, pot

WAISTED = ((0, 90), (80, 50), (100, 40), (130, 60), (250, 140), (330, 120))
FLAT_BOWL = ((0, 40), (15, 100), (30, 170), (60, 200))
NO_RESTS = choices(soft_wall_mm=1000)
WEAK = YieldRange(3, 6, 12)
CLOSED = st.lists(st.floats(30, 180), min_size=3, max_size=8).map(lambda halves: [*halves, 0.0])


def of(
    made: Form, how: Choices = NO_RESTS, strength: YieldRange = SOFT_CLAY
) -> tuple[RowList, OwnWeight]:
    listed = row_list(made, how)
    return listed, own_weight(made, listed, DENSITY, strength)


class TestFigures:
    def test_a_cylinders_are_those_of_the_handbook(self) -> None:
        """w t (H - z), no hoop force, and w (H - z) as stress: standards of shells of revolution
        (Timoshenko & Woinowsky-Krieger, 2nd ed. 1959, ch. 14; from memory), derived by hand."""
        listed, found = of(cylinder())
        weight = DENSITY * 1e-6 * STANDARD_GRAVITY
        heights = np.array([10, *[row.height_mm for row in listed.rows]])
        assert [each.height_mm for each in found.stations] == pytest.approx(heights, abs=0.01)
        along = [each.meridional_n_per_mm for each in found.stations]
        assert along == pytest.approx(-weight * 8 * (200 - heights), abs=1e-3)
        assert [each.hoop_n_per_mm for each in found.stations] == pytest.approx(
            np.zeros(len(heights)), abs=1e-3
        )
        assert found.stations[7].middle_kpa == pytest.approx(
            1000 * weight * (200 - heights[7]), rel=0.01
        )

    def test_a_round_pot_needs_no_note_and_another_says_what_it_was_worked_out_for(self) -> None:
        assert of(cylinder())[1].notes == ()
        (note,) = of(cylinder(outline=LEAF))[1].notes
        assert note.message.startswith("The pot isn't round. This was worked out for a round pot")

    def test_an_oval_stands_for_the_round_pot_that_is_as_long_around(self) -> None:
        """At a ratio of 0.7 an ellipse of width 2a is 1 - 0.1471 times as long around as the
        circle (4 a E(e²), published formula; number by the arithmetic-geometric mean)."""
        oval = of(pot((0, 60), (200, 60), outline=Outline("oval", 0.7)))[1].stations
        small = of(pot((0, 60 * 0.8529), (200, 60 * 0.8529)))[1].stations
        for one, other in zip(oval, small, strict=False):
            assert one.middle_kpa == pytest.approx(other.middle_kpa, rel=0.02)


class TestCautions:
    def test_a_chest_of_two_hands_height_needs_none(self) -> None:
        assert of(cylinder())[1].cautions == ()
        assert of(cylinder())[1].rests == ()

    def test_they_name_rows_and_the_place(self) -> None:
        listed, found = of(pot(*WAISTED))
        first = found.cautions[0]
        assert first.severity == max(each.severity for each in found.cautions)
        assert re.fullmatch(
            r"At about [\d.]+ mm the wall carries much for soft clay. Pause about row (\d+), "
            r"(between (\d+) and (\d+)|after row \d+ at the earliest), until the wall below has "
            r"stiffened.",
            first.message,
        )
        pause = first.pause
        assert pause.about is not None
        assert pause.early <= pause.about <= len(listed.rows)
        assert f"row {pause.about}," in first.message

    def test_the_row_is_the_last_whole_one_below_the_pause(self) -> None:
        """Rows of half the height double its number: the pause is a height of clay."""
        made = pot(*WAISTED)
        thick, thin = (of(made, replace(NO_RESTS, coil_mm=mm)) for mm in (17.0, 12.0))
        tops = []
        for listed, found in (thick, thin):
            about = found.cautions[0].pause.about
            assert about is not None
            tops.append((listed.rows[about - 1].height_mm, listed.rows[about].height_mm))
        assert max(low for low, _ in tops) < min(high for _, high in tops)

    def test_an_overhang_says_how_far_rows_reach(self) -> None:
        found = of(pot(*FLAT_BOWL, wall=Wall(10, 8)))[1]
        out = next(each for each in found.cautions if each.cause.code == "leans_out")
        assert "Let rows reach out by about" in out.message
        assert out.pause.early >= 1


class TestRests:
    def test_a_weak_clay_asks_for_more_rests_each_higher_than_the_one_before(self) -> None:
        listed, found = of(form(inputs(BELLIED)), strength=WEAK)
        rows = [each.about or 0 for each in found.rests]
        assert len(rows) > 1
        assert rows == sorted(set(rows))
        assert rows[-1] < len(listed.rows)

    def test_rests_that_the_plan_has_anyway_do(self) -> None:
        """With a lesson's end after each of the rests it asks for, it asks for no more."""
        made = form(inputs(BELLIED))
        rows = [each.about for each in of(made, strength=WEAK)[1].rests]
        steps = np.diff([0, *rows]).tolist()
        days = tuple(Lesson(date(2025, 3, day), rows=step) for day, step in enumerate(steps, 1))
        listed, found = of(made, replace(NO_RESTS, lessons=days), WEAK)
        assert [rest.after_row for rest in listed.rests][: len(rows)] == rows
        assert found.rests == ()
        assert found.cautions == of(made, strength=WEAK)[1].cautions

    def test_a_rest_too_late_is_no_help(self) -> None:
        made = form(inputs(BELLIED))
        listed, found = of(made, strength=WEAK)
        late = len(listed.rows) - 1
        days = (Lesson(date(2025, 3, 1), rows=late), Lesson(date(2025, 3, 8), rows=1))
        again = of(made, replace(NO_RESTS, lessons=days), WEAK)[1]
        assert again.rests[0] == found.rests[0]


def test_what_is_carried_on_counts_its_rows_on() -> None:
    """From the edge of row 4 on, whose wall below is stiff: nothing pauses before row 5."""
    made = pot(*WAISTED)
    listed = row_list(made, NO_RESTS)
    on = rows_from_here(
        made,
        NO_RESTS,
        Standing(
            listed.rows[3].height_mm,
            front_mm=None,
            perimeter_mm=None,
            depth_mm=listed.rows[3].depth_mm,
        ),
        listed.rows[:4],
    )
    found = own_weight(made, on, DENSITY, YieldRange(2, 4, 8))
    assert len(found.stations) == len(on.rows) + 1
    pauses = [each.pause for each in found.cautions] + list(found.rests)
    assert pauses
    for each in pauses:
        assert on.rows[0].row <= each.early <= (each.about or each.early) <= on.rows[-1].row


def test_a_foot_that_is_solid_carries_no_shell() -> None:
    """Half a wall round the axis is no shell: the wall begins where there is a hollow."""
    made = pot((0, 5), (40, 12), (120, 70), (200, 80), wall=Wall(12, 8), base_mm=8)
    found = of(made)[1]
    assert all(np.isfinite(each.surface_kpa) for each in found.stations)
    assert found.cautions[0].severity > 1


def test_a_lump_that_is_no_shell_has_nothing_to_say() -> None:
    listed = row_list(cylinder(), NO_RESTS)
    thick = replace(listed.middle, wall_mm=np.full_like(listed.middle.wall_mm, 130.0))
    found = own_weight(cylinder(), replace(listed, middle=thick), DENSITY)
    assert found == OwnWeight((), (), (), ())


@settings(max_examples=40)
@given(
    halves=st.lists(st.floats(30, 180), min_size=3, max_size=8) | CLOSED,
    height=st.floats(60, 600),
    wall_mm=st.floats(5, 12),
    coil_mm=st.floats(8, 25),
    outline=st.sampled_from([Outline("round"), Outline("oval", 0.7), LEAF]),
)
def test_every_pot_with_rows_has_an_answer_within_them(
    halves: list[float],
    height: float,
    wall_mm: float,
    coil_mm: float,
    outline: Outline,
) -> None:
    levels = np.linspace(0, height, len(halves)).tolist()
    drawing = tuple(Point(z, x, x) for z, x in zip(levels, halves, strict=True))
    made = form(inputs(drawing, wall=Wall(wall_mm, wall_mm), outline=outline))
    listed, found = of(made, choices(coil_mm))
    assert len(found.stations) == len(listed.rows) + 1
    for each in found.stations:
        assert np.isfinite([each.middle_kpa, each.surface_kpa]).all()
    pauses: list[PauseInRows] = [each.pause for each in found.cautions] + list(found.rests)
    for pause in pauses:
        known = [row for row in (pause.early, pause.about, pause.late) if row is not None]
        assert known == sorted(known)
        assert 1 <= known[0] <= known[-1] <= len(listed.rows)
