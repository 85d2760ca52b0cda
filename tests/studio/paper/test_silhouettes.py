"""Pots on paper: at scale, and each stage of the clay to be told from the others in grey."""

from itertools import combinations

import numpy as np
import numpy.typing as npt
import pytest

from studio.paper.pages import A4, Mark, Shape, Sheet
from studio.paper.patterns import filled
from studio.paper.pdf import pdf
from studio.paper.shapes import ellipse, rectangle
from studio.paper.silhouettes import Sample, one_scale, silhouette
from tests.studio.paper.measuring import MM, Print

CYLINDER: list[Sample] = [(0, 60, 60), (100, 60, 60), (200, 60, 60)]
BELLY: list[Sample] = [(0, 40, 40), (80, 90, 95), (160, 70, 70), (240, 50, 50)]
STAGES = [
    "on_paper",
    "planned",
    "wet",
    "leather_hard",
    "bone_dry",
    "bisque_fired",
    "glazed",
    "glaze_fired",
    "broken",
    "missing",
]


def printed(marks: list[Mark]) -> Print:
    return Print(pdf(A4, [Sheet(tuple(marks))], title="Trial"))


@pytest.mark.parametrize("stage", STAGES)
def test_a_pot_is_as_wide_as_its_scale_says_and_stands_on_its_line(stage: str) -> None:
    read = printed(silhouette(BELLY, x_mm=100, base_y_mm=150, scale=0.25, stage=stage))
    left_mm, top_mm, right_mm, bottom_mm = read.extent_mm()
    # Left and right sides are the pot's own: 90 and 95 mm from the axis at a quarter of their size.
    assert left_mm == pytest.approx(100 - 90 / 4, abs=0.3)
    assert right_mm == pytest.approx(100 + 95 / 4, abs=0.3)
    # The rim's far edge and the foot's near edge lie beyond the height.
    seen = stage not in {"on_paper", "planned"}
    assert top_mm == pytest.approx(150 - 240 / 4 - seen * 50 / 4 * 0.17, abs=0.4)
    assert bottom_mm == pytest.approx(150 + seen * 40 / 4 * 0.07, abs=0.4)


def test_no_two_stages_look_alike_in_black_and_white_at_15_mm() -> None:
    scale = one_scale([CYLINDER], tallest_mm=15, widest_mm=17)
    pictures = {
        stage: printed(silhouette(CYLINDER, x_mm=30, base_y_mm=40, scale=scale, stage=stage)).grey()
        for stage in STAGES
    }
    body = np.s_[round(22 / MM) : round(42 / MM), round(22 / MM) : round(38 / MM)]
    drawn = {stage: _blurred(picture[body]) for stage, picture in pictures.items()}
    for one, other in combinations(STAGES, 2):
        apart = np.abs(drawn[one] - drawn[other]).mean()
        assert apart > 2.5, f"{one} and {other} differ by {apart:.1f} of 255"


def _blurred(picture: npt.NDArray[np.uint8]) -> npt.NDArray[np.float64]:
    """Cells of 0.34 mm: what an eye tells apart at half a metre (a minute of arc is 0.15 mm)."""
    high, wide = (size // 4 * 4 for size in picture.shape)
    cells = picture[:high, :wide].reshape(high // 4, 4, wide // 4, 4)
    return np.asarray(cells.mean(axis=(1, 3)), dtype=np.float64)


@pytest.mark.parametrize("stage", STAGES)
def test_a_pattern_stays_within_its_outline(stage: str) -> None:
    disc = ellipse(100, 100, 30, width_mm=0.3)
    dark = printed(filled(disc, stage)).dark()
    rows, columns = np.nonzero(dark)
    away_mm = np.hypot((columns + 0.5) * MM - 100, (rows + 0.5) * MM - 100)
    assert away_mm.max() < 30 + 0.15 + 0.2


@pytest.mark.parametrize(
    ("stage", "wanted"),
    [
        ("wet", 1 - 0.68),
        ("glaze_fired", 1 - 0.4),
        ("leather_hard", 0.16 / 1.4),  # a line's width by the space from line to line
        ("bisque_fired", 0.16 / 1.5),
        ("bone_dry", 6 * 1.5 * 3**0.5 * 0.2**2 / 2.7**2),  # six hexagons of radius 0.2 mm in a tile
        ("broken", 0.0),
    ],
)
def test_a_pattern_is_as_dark_as_its_lines_and_dots_make_it(stage: str, wanted: float) -> None:
    square = rectangle(40, 40, 60, 60, width_mm=0.0)
    inner = np.s_[round(45 / MM) : round(95 / MM), round(45 / MM) : round(95 / MM)]
    ink = 1 - printed(filled(square, stage)).grey()[inner].mean() / 255
    assert ink == pytest.approx(wanted, abs=0.015)


def test_neighbours_share_one_lattice_of_lines() -> None:
    neighbours = rectangle(40, 40, 20, 20), rectangle(60, 47.3, 20, 20)
    marks = [mark for each in neighbours for mark in filled(each, "leather_hard")]
    heights = [m.points_mm[0][1] for m in marks if isinstance(m, Shape) and not m.closed]
    assert len(heights) > 20
    assert all(height / 1.4 == pytest.approx(round(height / 1.4)) for height in heights)


def test_shapes_that_cross_themselves_or_have_no_area_are_still_drawn() -> None:
    bow = Shape(((20, 20), (60, 50), (60, 20), (20, 50)))
    flat = Shape(((20, 20), (60, 20), (60, 20)))
    for stage in STAGES:
        assert printed([*filled(bow, stage), *filled(flat, stage)]).dark().any()


def test_fewer_than_two_heights_draw_nothing() -> None:
    for samples in ([], [(0.0, 40.0, 40.0)]):
        assert silhouette(samples, x_mm=20, base_y_mm=40, scale=1, stage="wet") == []


def test_one_scale_lets_the_tallest_and_the_widest_fit() -> None:
    scale = one_scale([CYLINDER, BELLY, []], tallest_mm=15, widest_mm=17)
    assert scale == pytest.approx(min(15 / (240 + 50 * 0.17), 17 / (2 * 95)))
    assert one_scale([CYLINDER], tallest_mm=15, widest_mm=100) == pytest.approx(
        15 / (200 + 60 * 0.17)
    )


def test_no_pots_or_pots_without_size_leave_the_scale_alone() -> None:
    assert one_scale([], tallest_mm=15, widest_mm=17) == 1.0
    assert one_scale([[(0, 0, 0), (0, 0, 0)]], tallest_mm=15, widest_mm=17) == 1.0
