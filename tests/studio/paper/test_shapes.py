"""Shapes have the size that they say, measured on the rendered page."""

import numpy as np
import pytest

from studio.paper.pages import A3, A4, LETTER, TABLOID, Align, Mark, Page, Shape, Sheet, Words
from studio.paper.pdf import pdf
from studio.paper.shapes import box, ellipse, plated, rectangle
from tests.studio.paper.measuring import MM, Print


def printed(*marks: Mark, page: Page = A4) -> Print:
    return Print(pdf(page, [Sheet(marks)], title="Trial"))


@pytest.mark.parametrize(
    ("page", "size_mm"),
    [
        (A4, (210, 297)),  # ISO 216:2007, A4
        (A3, (297, 420)),  # ISO 216:2007, A3
        (LETTER, (8.5 * 25.4, 11 * 25.4)),  # ANSI/ASME Y14.1, size A
        (TABLOID, (11 * 25.4, 17 * 25.4)),  # ANSI/ASME Y14.1, size B
    ],
)
def test_pages_have_the_sizes_of_the_standards(page: Page, size_mm: tuple[float, float]) -> None:
    (measured,) = printed(page=page).sizes_mm
    assert measured == pytest.approx(size_mm, abs=0.02)


def test_a_tick_box_stands_where_it_is_put() -> None:
    measured = printed(box(40, 60, 5)).extent_mm()
    assert measured == pytest.approx((40, 60, 45, 65), abs=0.3)


def test_a_filled_rectangle_covers_its_area() -> None:
    dark = printed(rectangle(20, 30, 80, 10, width_mm=0.0, fill=0.0)).dark()
    assert dark.sum() * MM * MM == pytest.approx(800, rel=0.01)


def test_an_ellipse_covers_pi_times_its_half_axes() -> None:
    read = printed(ellipse(100, 100, 40, 25, width_mm=0.0, fill=0.0))
    assert read.dark().sum() * MM * MM == pytest.approx(np.pi * 40 * 25, rel=0.005)
    assert read.extent_mm() == pytest.approx((60, 75, 140, 125), abs=0.3)


def test_a_circle_needs_one_radius() -> None:
    assert printed(ellipse(50, 50, 10)).extent_mm() == pytest.approx((40, 40, 60, 60), abs=0.3)


def test_an_open_shape_is_a_line_and_a_dashed_one_has_gaps() -> None:
    line = Shape(((20, 20), (60, 20), (60, 50)), closed=False)
    read = printed(line)
    assert read.extent_mm() == pytest.approx((20, 20, 60, 50), abs=0.3)
    whole = read.dark().sum()
    dashed = printed(Shape(line.points_mm, closed=False, dashed=True)).dark().sum()
    assert 0.4 < dashed / whole < 0.75


@pytest.mark.parametrize("align", list(Align))
def test_plated_words_stand_on_white(align: Align) -> None:
    ground = rectangle(20, 20, 60, 30, width_mm=0.0, fill=0.0)
    plate, words = plated(Words(50, 36, "HK", 14, align=align))
    assert isinstance(plate, Shape)
    read = printed(ground, plate, words)
    found = read.find("HK")
    around = read.dark()[
        round((found.baseline_mm + 0.25) / MM),
        round(found.left_mm / MM) : round(found.right_mm / MM),
    ]
    assert not around.any()
    assert plate.points_mm[0][0] == pytest.approx(found.left_mm - 0.5, abs=0.3)
    assert plate.points_mm[1][0] == pytest.approx(found.right_mm + 0.5, abs=0.3)
