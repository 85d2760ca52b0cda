"""Row lists against hand formulas (Pappus), GEOS and random forms. Handbook formulas; facts of
the trade are common practice, no source."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy import pi

from planning.geometry.form import Form, form
from planning.geometry.inputs import Outline, Point, Wall
from planning.geometry.outer import outer_points
from planning.geometry.refusal import FormRefused
from planning.geometry.walls import wall_between
from planning.rows.middle import middle, whole_wall
from planning.rows.rows import RowList, blends_after, row_list
from planning.rows.sentences import MESSAGES, RowsRefused
from tests.planning.geometry.forms import BELLIED, inputs, points, random_profile

from .pots import DENSITY, LEAF, SQUARE, TAPERED, bowl, choices, coil_area, cylinder, grams, pot


def total_mm3(listed: RowList) -> float:
    return sum(row.coil_g for row in listed.rows) / DENSITY * 1000


class TestHandFormulas:
    def test_a_cylinder_s_rows_rise_by_the_coil_s_section_over_the_wall(self) -> None:
        # πd²/(4t) of a coil of 14 in a wall of 8 is 19.24: ten rows in 190 mm, of 19 mm each,
        # whose coil is √(4·8·19/π) = 13.912 thick.
        listed = row_list(cylinder(), choices(14))
        assert len(listed.rows) == 10
        assert listed.coil_mm == pytest.approx(np.sqrt(4 * 8 * 19 / pi))
        assert listed.section_mm2 == pytest.approx(coil_area(listed.coil_mm))
        for number, row in enumerate(listed.rows, start=1):
            assert row.row == number
            assert row.height_mm == pytest.approx(10 + 19 * number)
            assert (row.front_mm, row.depth_mm) == pytest.approx((120, 120))
            assert row.perimeter_mm == pytest.approx(2 * pi * 56)
            assert row.coil_length_mm == pytest.approx(2 * pi * 56 + 1.5 * listed.coil_mm)
            assert row.coil_g == pytest.approx(grams(pi * (60**2 - 52**2) * 19))
        assert listed.checks == ()

    def test_a_cone_s_rows_are_even_along_the_slant_and_heavier_upwards_by_pappus(self) -> None:
        # Outside from radius 40 to 120 in 200 mm: leaning by atan(0.4), the slant grows by
        # √1.16 per height and the wall is 8·√1.16 thick across.
        listed = row_list(pot((0, 40), (200, 120)), choices(14))
        count, across = len(listed.rows), 8 * np.sqrt(1.16)
        rise = 190 / count
        assert listed.coil_mm == pytest.approx(np.sqrt(4 * across * rise / pi))
        assert listed.rows[0].slant_mm == pytest.approx(rise * np.sqrt(1.16))
        for number, row in enumerate(listed.rows, start=1):
            assert row.height_mm == pytest.approx(10 + rise * number)
            middle_radius = 40 + 0.4 * (10 + rise * (number - 0.5)) - across / 2
            assert row.perimeter_mm == pytest.approx(2 * pi * middle_radius)
            assert row.coil_g == pytest.approx(grams(2 * pi * middle_radius * across * rise))

    def test_a_bowl_s_rows_turn_evenly_about_the_sphere_s_middle(self) -> None:
        # Middle sphere R - t/2 = 96, from where it crosses the floor up to the equator. A row
        # between two rays has (2π/3)(R³ - (R - t)³)(sin b - sin a) of clay.
        made = bowl()
        centre = 100 * np.sin(np.radians(50))
        start = np.arcsin((10 - centre) / 96)
        listed = row_list(made, choices(14))
        edges = np.linspace(start, 0, len(listed.rows) + 1)
        heights = centre + 96 * np.sin(edges[1:])
        assert [row.height_mm for row in listed.rows] == pytest.approx(heights, abs=0.05)
        shells = 2 * pi / 3 * (100**3 - 92**3) * np.diff(np.sin(edges))
        assert [row.coil_g for row in listed.rows] == pytest.approx(grams(1) * shells, rel=0.006)
        mean = 2 * pi * 96 * np.diff(np.sin(edges)) / np.diff(edges)
        assert [row.perimeter_mm for row in listed.rows] == pytest.approx(mean, rel=1e-3)
        turned = 96 * -start / len(listed.rows)
        assert coil_area(listed.coil_mm) / 8 == pytest.approx(turned, rel=0.006)

    def test_a_dome_closes_to_nothing_at_its_top(self) -> None:
        turn = np.linspace(0, pi / 2, 41)
        rows = zip((100 * np.sin(turn)).tolist(), (100 * np.cos(turn)).tolist(), strict=True)
        dome = list(rows)
        listed = row_list(pot(*dome[:-1], (100, 0)), choices(14))
        assert listed.rows[-1].height_mm == pytest.approx(100)
        assert listed.rows[-1].front_mm == 0
        # From the floor at 10 to the top the middle runs over a quarter of a circle of 96 but
        # for the start: sin a = 10/96.
        assert listed.rows[-1].slant_mm == pytest.approx(
            96 * (pi / 2 - np.arcsin(10 / 96)), abs=0.1
        )
        shells = 2 * pi / 3 * (100**3 - 92**3)
        assert total_mm3(listed) == pytest.approx(shells * (1 - 10 / 96), rel=0.003)

    def test_rows_on_a_flat_shoulder_lie_beside_each_other(self) -> None:
        # Straight up to 140, level inwards from 90 to 40, straight up again.
        made = pot((0, 90), (100, 90), (140, 90), (140, 40), (200, 40))
        listed = row_list(made, choices(14))
        shoulder = [
            row.front_mm for row in listed.rows if row.height_mm == pytest.approx(140, abs=0.1)
        ]
        assert len(shoulder) >= 2
        assert shoulder == sorted(shoulder, reverse=True)
        assert min(row.front_mm for row in listed.rows) == pytest.approx(80)
        assert np.ptp(np.diff([0, *(row.slant_mm for row in listed.rows)])) < 0.5

    @pytest.mark.parametrize("outline", [Outline("oval", 0.5), LEAF, SQUARE, Outline("oval", 1.6)])
    def test_an_upright_wall_is_laid_along_the_outline_half_a_wall_inside(
        self, outline: Outline
    ) -> None:
        # By GEOS: the outline shrunk by half the wall, with pointed tips kept.
        made = pot((0, 100), (200, 100), outline=outline)
        drawn = shapely.Polygon(outer_points(made.surface, np.zeros(1))[0])
        inside = shapely.buffer(drawn, -4, join_style="mitre", mitre_limit=20, quad_segs=64)
        for row in row_list(made, choices(14)).rows:
            assert row.perimeter_mm == pytest.approx(inside.length, rel=1e-3)

    def test_a_side_profile_and_a_taper_are_followed(self) -> None:
        # Front straight up, side flaring: 60 to 100 in 200 mm; 9 mm of wall to 6.
        side = (Point(0, 60, 60), Point(200, 100, 100))
        made = pot((0, 60), (200, 60), side_profile=side, wall=TAPERED)
        listed = row_list(made, choices(14))
        assert listed.rows[-1].depth_mm == pytest.approx(200)
        assert listed.rows[-1].front_mm == pytest.approx(120)
        assert listed.wall_mm == pytest.approx(7.43, abs=0.02)  # at half of the wall's height
        rises = np.diff([10, *(row.height_mm for row in listed.rows)])
        assert (np.diff(rises) > 0).all(), "the same coil rises higher in a thinner wall"


class TestReconciliation:
    @settings(max_examples=80)
    @given(
        seed=st.integers(0, 10_000),
        depth=st.sampled_from([1.0, 1.0, 0.6, 1.5]),
        wall=st.floats(4, 12),
        rim=st.floats(4, 12),
        coil=st.floats(8, 24),
    )
    def test_the_coils_of_any_form_are_its_wall(
        self, seed: int, depth: float, wall: float, rim: float, coil: float
    ) -> None:
        drawn = random_profile(np.random.default_rng(seed))
        profile = points(*((height, half) for half, height in drawn.tolist()))
        try:
            made = form(inputs(profile, outline=Outline("oval", depth), wall=Wall(wall, rim)))
        except FormRefused:
            return
        listed = row_list(made, choices(coil))
        assert_sound(made, listed)
        coils = sum(coil_area(listed.coil_mm) * row.perimeter_mm for row in listed.rows)
        assert coils == pytest.approx(made.volumes.wall, rel=1e-9)

    @pytest.mark.parametrize("outline", [LEAF, SQUARE])
    def test_those_of_other_outlines_too(self, outline: Outline) -> None:
        made = form(inputs(BELLIED, outline=outline, rim_outline=Outline("round")))
        assert_sound(made, row_list(made, choices(14)))

    def test_of_two_numbers_of_rows_the_one_is_taken_whose_coil_is_nearer(self) -> None:
        # By trying all: the wall's section is 8 × 190.
        for asked in np.linspace(7, 40, 67):
            offers = {count: np.sqrt(4 * 8 * 190 / count / pi) for count in range(1, 90)}
            best = min(offers, key=lambda count: abs(offers[count] - asked))
            listed = row_list(cylinder(), choices(asked))
            assert len(listed.rows) == best
            assert listed.coil_mm == pytest.approx(offers[best])

    def test_level_cuts_at_the_rows_edges_hold_the_rows_clay(self) -> None:
        # An independent sum over level sections of a bellied pot.
        made = form(inputs(BELLIED))
        rows = row_list(made, choices(14)).rows
        edges = np.array([made.base_mm, *(row.height_mm for row in rows)])
        level = wall_between(made, edges[:-1], edges[1:])
        assert [row.coil_g for row in rows] == pytest.approx(grams(1) * level, rel=0.004)
        assert middle(whole_wall(made)).fill == pytest.approx(1, abs=5e-4)


def assert_sound(made: Form, listed: RowList) -> None:
    """Clay adds up, edges rise to the rim, every row has the coil's section."""
    assert total_mm3(listed) == pytest.approx(made.volumes.wall, rel=1e-9)
    heights = [made.base_mm, *(row.height_mm for row in listed.rows)]
    assert (np.diff(heights) >= 0).all()
    assert heights[-1] == pytest.approx(made.surface.height)
    for row in listed.rows:
        assert row.coil_g > 0
        assert row.coil_g / row.perimeter_mm == pytest.approx(grams(coil_area(listed.coil_mm)))


class TestLeaningEnds:
    """What is clipped or missing where a leaning wall meets floor and rim plane (shaped like a
    sheared strip: its area is the straight one's)."""

    @pytest.mark.parametrize("rim", [30, 60, 160])
    def test_a_leaning_wall_is_as_long_as_its_middle_between_the_planes(self, rim: float) -> None:
        made = pot((0, 80), (90, rim), base_mm=6)
        laid = middle(whole_wall(made))
        lean = np.hypot(1, (rim - 80) / 90)
        assert laid.slant_mm[-1] == pytest.approx(84 * lean, rel=1e-9)
        # The hollow ends round at the rim, which the straight strip doesn't.
        assert laid.fill == pytest.approx(1, abs=2e-3)

    def test_a_thin_base_under_a_flare_begins_the_wall_at_the_floor(self) -> None:
        # The middle of the wall at the table lies above a floor of 1 mm: lengthened down to it.
        made = pot((0, 40), (60, 140), base_mm=1)
        assert middle(whole_wall(made)).slant_mm[-1] == pytest.approx(59 * np.hypot(1, 100 / 60))


class TestBlends:
    def test_two_rows_a_blend_and_the_rim_always(self) -> None:
        blends = [row.blend for row in row_list(pot((0, 60), (120, 60)), choices(14)).rows]
        assert blends == [False, True, False, True, False, True]
        blends = [row.blend for row in row_list(pot((0, 60), (100, 60)), choices(14)).rows]
        assert blends == [False, True, False, True, True]

    def test_single_rows_where_a_hand_no_longer_fits(self) -> None:
        # By hand: narrow from the fourth row of seven.
        narrow = [False] * 3 + [True] * 4
        assert blends_after(narrow, 2, set()) == [False, True, True, True, True, True, True]
        assert blends_after([False] * 7, 3, {4}) == [False, False, True, True, False, False, True]

    def test_a_neck_takes_single_rows_and_a_bigger_hand_more_of_them(self) -> None:
        made = pot((0, 60), (80, 90), (160, 50), (240, 45))  # inside the neck about 76 mm
        rows = row_list(made, choices(14)).rows
        assert all(row.blend for row in rows if row.front_mm < 104 and row.height_mm > 120)
        assert not all(row.blend for row in rows if row.height_mm < 120)
        assert all(row.blend for row in row_list(made, choices(14, hand_mm=250)).rows)
        small = row_list(made, choices(14, hand_mm=60)).rows
        assert [row.blend for row in small[:4]] == [False, True, False, True]


class TestWhatIsSaid:
    def test_coils_far_from_the_wall_are_told(self) -> None:
        thin = row_list(cylinder(), choices(8)).checks
        assert [each.code for each in thin] == ["coil_thin"]
        assert thin[0].message == (
            f"A coil of {thin[0].values['coil_mm']:.4g} mm is thin for a wall of 8 mm: working it "
            "in makes it thinner still. Roll coils of 10 mm or more."
        )
        assert [each.code for each in row_list(cylinder(), choices(24)).checks] == ["coil_thick"]
        low = row_list(pot((0, 60), (24, 60)), choices(17)).checks
        assert "coil_changed" in [each.code for each in low]

    @pytest.mark.parametrize(
        ("changed", "path", "code"),
        [
            ({"coil_mm": 2.0}, "coil_mm", "out_of_range"),
            ({"coil_mm": float("nan")}, "coil_mm", "out_of_range"),
            ({"coil_mm": 3.0, "wall": 30}, "coil_mm", "too_many_rows"),
            ({"rows_per_blend": 0}, "rows_per_blend", "out_of_range"),
            ({"hand_mm": -1.0}, "hand_mm", "out_of_range"),
            ({"scarf_per_coil": 9.0}, "scarf_per_coil", "out_of_range"),
            ({"soft_wall_mm": 0.0}, "soft_wall_mm", "out_of_range"),
            ({"longest_coil_mm": 20.0}, "longest_coil_mm", "out_of_range"),
            ({"longest_coil_mm": 110.0, "coil_mm": 40.0}, "longest_coil_mm", "table_too_short"),
        ],
    )
    def test_what_no_list_can_be_laid_by_is_refused_at_its_field(
        self, changed: dict[str, float], path: str, code: str
    ) -> None:
        thickness = changed.pop("wall", 8)
        made = cylinder(wall=Wall(thickness, thickness))
        with pytest.raises(RowsRefused) as refused:
            row_list(made, choices(**{"coil_mm": 14.0, **changed}))
        assert [(each.path, each.code) for each in refused.value.problems] == [(path, code)]
        assert refused.value.problems[0].message in str(refused.value)

    def test_every_sentence_is_whole(self) -> None:
        for text in MESSAGES.values():
            assert text[0].isupper() or text[0] == "%"
            assert text.endswith(".")
