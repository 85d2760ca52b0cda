"""Labels: codes that scan, words that stay on their label, as many as the page holds."""

import numpy as np
import pytest
import segno

from studio.paper.codes import QUIET
from studio.paper.labels import (
    BaseLabel,
    Grid,
    ShelfLabel,
    base_grid,
    base_labels_pdf,
    shelf_grid,
    shelf_labels_pdf,
)
from studio.paper.pages import A4, LETTER, Page
from tests.studio.paper.measuring import MM, Print

ADDRESS = "https://studio.example/ware/pots/K7-3F/"
LABEL = BaseLabel("K7-3F/2", ADDRESS, "Ode A.", "Grade 9, period 4")
LONG = BaseLabel("K7-3FHJ/12", ADDRESS, "Maximiliana-Theodora F.", "Grade 11, rotating day B", True)


@pytest.mark.parametrize(("page", "count"), [(A4, 16), (LETTER, 14)])
def test_a_page_holds_whole_base_labels_of_90_by_35_mm(page: Page, count: int) -> None:
    read = Print(base_labels_pdf([LABEL] * 35, page))
    assert [read.text(number).count("K7-3F/2") for number in range(3)] == [
        count,
        count,
        35 - 2 * count,
    ]
    left_mm, top_mm, right_mm, bottom_mm = read.extent_mm()
    assert right_mm - left_mm == pytest.approx(180, abs=0.4)
    assert bottom_mm - top_mm == pytest.approx(count / 2 * 35, abs=0.4)
    assert left_mm + right_mm == pytest.approx(page.width_mm, abs=0.3)


@pytest.mark.parametrize("page", [A4, LETTER])
def test_four_shelf_labels_of_180_by_60_mm_fill_a_page(page: Page) -> None:
    read = Print(shelf_labels_pdf([ShelfLabel("Damp cupboard", ADDRESS)] * 5, page))
    assert [read.text(number).count("Damp cupboard") for number in (0, 1)] == [4, 1]
    left_mm, top_mm, right_mm, bottom_mm = read.extent_mm()
    assert (right_mm - left_mm, bottom_mm - top_mm) == pytest.approx((180, 240), abs=0.4)


def test_a_base_label_says_code_name_class_and_not_for_food_where_it_was_told() -> None:
    told, untold = (Print(base_labels_pdf([label], A4)).text() for label in (LONG, LABEL))
    assert told == "K7-3FHJ/12 Maximiliana-Theodora F. Grade 11, rotating day B Not for food"
    assert untold == "K7-3F/2 Ode A. Grade 9, period 4"


def test_a_printed_code_has_the_modules_of_the_standard() -> None:
    """Read back from pixels and compared with another writer's matrix (ISO/IEC 18004, segno)."""
    matrix = np.array(segno.make(ADDRESS, error="m", micro=False).matrix, dtype=bool)
    side = len(matrix) + 2 * QUIET
    for content, grid, side_mm in (
        (base_labels_pdf([LABEL], A4), base_grid(A4), 31.0),
        (shelf_labels_pdf([ShelfLabel("Shelf A", ADDRESS)], A4), shelf_grid(A4), 52.0),
    ):
        dark = Print(content).dark()
        middles_mm = (np.arange(side) + 0.5) * side_mm / side
        top_mm = grid.top_mm + (grid.height_mm - side_mm) / 2
        rows = np.floor((top_mm + middles_mm) / MM).astype(int)
        columns = np.floor((grid.left_mm + 2 + middles_mm) / MM).astype(int)
        read = dark[np.ix_(rows, columns)]
        assert (read == np.pad(matrix, QUIET)).all()
        # A telephone at 25 cm wants modules of 0.4 mm or more: common practice, no source.
        assert side_mm / side > 0.4


@pytest.mark.parametrize(
    "grid",
    [
        Grid(2, 7, 99.1, 38.1, 4.65, 15.15, across_mm=2.5),  # gummed, from memory: 14 on A4
        Grid(3, 7, 63.5, 38.1, 7.25, 15.15, across_mm=2.5),  # from memory: 21 on A4
        Grid(2, 4, 99.1, 67.7, 4.65, 13.1, across_mm=2.5),  # from memory: 8 on A4
    ],
)
@pytest.mark.parametrize("label", [LABEL, LONG])
def test_on_a_gummed_grid_everything_stays_on_its_own_label(grid: Grid, label: BaseLabel) -> None:
    count = grid.columns * grid.rows
    read = Print(base_labels_pdf([label] * count, A4, grid=grid))
    assert len(read.sizes_mm) == 1
    dark = read.dark()
    for x_mm, y_mm in grid.corners():
        dark[
            round((y_mm + 1) / MM) : round((y_mm + grid.height_mm - 1) / MM),
            round((x_mm + 1) / MM) : round((x_mm + grid.width_mm - 1) / MM),
        ] = False
    assert not dark.any()


@pytest.mark.parametrize(
    "place",
    [
        "A",
        "Damp cupboard 2, lower board by the window",
        "Donaudampfschifffahrtsgesellschaftskapitänsschrank",
        "Shelf " * 60,
    ],
)
def test_a_place_is_written_as_large_as_its_label_lets_it(place: str) -> None:
    grid = shelf_grid(A4)
    read = Print(shelf_labels_pdf([ShelfLabel(place, ADDRESS, "Staff only. " * 40)], A4))
    dark = read.dark()
    x_mm, y_mm = grid.corners()[0]
    inner = dark[
        round((y_mm + 1) / MM) : round((y_mm + 59) / MM),
        round((x_mm + 1) / MM) : round((x_mm + 179) / MM),
    ]
    assert inner.any()
    assert not inner[:10].any()
    assert not inner[-10:].any()
    assert not inner[:, -10:].any()
    assert read.text().startswith(place.split(" ", maxsplit=1)[0][:20])


def test_a_short_place_is_read_from_across_the_room() -> None:
    # Letters of 7 mm and more for three metres: a four-hundredth of the way, common practice.
    read = Print(shelf_labels_pdf([ShelfLabel("H", ADDRESS)], A4))
    text = read.texts[0]
    _left, bottom, _right, top = text.get_charbox(0)
    assert (top - bottom) / 72 * 25.4 > 7
