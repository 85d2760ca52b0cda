"""The thumbnail sheet in millimetres, read back from its PDF."""

import cv2
import numpy as np
import pytest

from planning.sheets.thumbnail_sheet import CODE_MM, MARGIN_MM, thumbnail_sheets
from studio.paper.pages import WITH_LARGE_PAGES
from studio.paper.pdf import pdf
from tests.planning.scanned import paper_of
from tests.studio.paper.measuring import MM, Print

from .pots import PAPERS

UNPRINTED_MM = 6.0
"""No office printer reaches nearer to the edge (common practice, no source)."""


def made(paper: str, count: int = 1) -> Print:
    page = WITH_LARGE_PAGES[paper]
    papers = [paper_of()] * count
    return Print(pdf(page, thumbnail_sheets(papers, page), title="Thumbnail sheets"))


@pytest.mark.parametrize("paper", PAPERS)
def test_its_head_is_low_and_the_rest_of_it_white(paper: str) -> None:
    read, page = made(paper), WITH_LARGE_PAGES[paper]
    assert read.sizes_mm[0] == pytest.approx((page.width_mm, page.height_mm), abs=0.1)
    left, top, right, foot = read.extent_mm()
    assert min(left, top, page.width_mm - right) > UNPRINTED_MM
    larger = max(1.0, page.height_mm / 297.0)
    assert foot < MARGIN_MM + CODE_MM * larger
    # At least four fifths of the height are to draw on.
    assert foot < 0.2 * page.height_mm


@pytest.mark.parametrize("paper", PAPERS)
def test_another_reader_reads_its_code_and_nothing_printed_is_lower(paper: str) -> None:
    """OpenCV's detector; the printer of the code is another library."""
    read, page = made(paper), WITH_LARGE_PAGES[paper]
    grey = np.ascontiguousarray(read.grey())
    text, _points, _straight = cv2.QRCodeDetectorAruco().detectAndDecode(grey)
    assert text == paper_of().address + "#sketch"
    larger = max(1.0, page.height_mm / 297.0)
    side = CODE_MM * larger
    column = int((page.width_mm - MARGIN_MM - side) / MM)
    rows, columns = np.nonzero(grey[:, column:] < 128)
    left, right = (column + columns.min()) * MM, (column + columns.max() + 1) * MM
    top, foot = rows.min() * MM, (rows.max() + 1) * MM
    # 96 bytes at level M are a code of version 6: 41 cells, and 4 of white on either side (ISO/IEC
    # 18004).
    assert len(text) == 96
    assert (right - left, foot - top) == pytest.approx([side * 41 / 49] * 2, abs=0.2)
    assert page.width_mm - right == pytest.approx(MARGIN_MM + side * 4 / 49, abs=0.2)
    assert read.extent_mm()[3] == pytest.approx(foot, abs=0.01)
    # White enough round it: four cells.
    cell = (right - left) / 41
    x, y = (int((each - 3.9 * cell) / MM) for each in (left, top))
    around = grey[y : int((foot + 3.9 * cell) / MM), x : int((right + 3.9 * cell) / MM)].copy()
    edge = int(3.7 * cell / MM)
    around[edge:-edge, edge:-edge] = 255
    assert around.min() > 250


def test_it_says_whose_it_is_and_how_to_draw_in_black() -> None:
    read = made("a4")
    assert read.text() == (
        "Ode A. K7-3F · Period 3 · A vessel with a shoulder Draw 6 to 12 side views, each on its "
        "own with a finger’s width of room around it. No frames needed. Dark pencil or pen. Stay "
        "below the code: beside it nothing is read."
    )
    picture = read.document[0].render(scale=1).to_numpy()[..., :3]
    assert (np.ptp(picture, axis=2) == 0).all()


def test_a_long_name_and_brief_keep_to_their_room() -> None:
    page = WITH_LARGE_PAGES["letter"]
    long = paper_of().__class__("Wilhelmina-Antoinette van den Boogaard", "K7-3F", "x" * 120, "a")
    read = Print(pdf(page, thumbnail_sheets([long], page), title="Thumbnail sheets"))
    dark = read.dark()
    code = int((page.width_mm - MARGIN_MM - CODE_MM) / MM)
    assert not dark[:, code - int(4 / MM) : code].any()


def test_a_class_has_a_page_each() -> None:
    assert len(made("a4", 3).sizes_mm) == 3
