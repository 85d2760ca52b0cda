"""The printed scale card is the one that photographs are read by."""

import cv2
import numpy as np
import pytest

from planning.sheets.scale_card import scale_card_sheets
from planning.tracing.scale_card import CHECK_BAR_MM, HEIGHT_MM, MARKER_MM, PLACES, WIDTH_MM
from studio.paper.pages import WITH_LARGE_PAGES
from studio.paper.pdf import pdf
from tests.studio.paper.measuring import MM, Print

from .pots import PAPERS
from .vectors import Path, paths, text_boxes


def printed(paper: str) -> Print:
    page = WITH_LARGE_PAGES[paper]
    return Print(pdf(page, scale_card_sheets(page, footer="Brookfield"), title="Scale card"))


def borders(found: list[Path]) -> list[tuple[float, float]]:
    """The upper left corner of each card."""
    return sorted(
        (path.points[:, 0].min(), path.points[:, 1].min())
        for path in found
        if np.allclose(np.ptp(path.points, axis=0), (WIDTH_MM, HEIGHT_MM), atol=0.01)
    )


@pytest.mark.parametrize("paper", PAPERS)
def test_markers_are_true_and_known_to_another_reader(paper: str) -> None:
    """OpenCV's own dictionary and detector; corners to a third of a pixel of 300 to the inch."""
    read = printed(paper)
    (left, top), *_more = borders(paths(read))
    pixels = np.ascontiguousarray(read.grey())
    y, x = (int(each / MM) for each in (top, left))
    cut = pixels[y : y + int(HEIGHT_MM / MM), x : x + int(WIDTH_MM / MM)]
    parameters = cv2.aruco.DetectorParameters()
    parameters.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    corners, ids, _rejected = cv2.aruco.ArucoDetector(dictionary, parameters).detectMarkers(cut)
    assert sorted(ids.ravel().tolist()) == [0, 1, 2, 3]
    for number, found in zip(ids.ravel(), corners, strict=True):
        marker = int(number)
        place = np.array(PLACES[marker]) - (x * MM - left, y * MM - top)
        square = np.array([(0, 0), (MARKER_MM, 0), (MARKER_MM, MARKER_MM), (0, MARKER_MM)])
        # OpenCV counts from the middle of a pixel.
        assert np.abs((found[0] + 0.5) * MM - place - square).max() < 0.15


@pytest.mark.parametrize("paper", PAPERS)
def test_modules_are_where_the_card_says_to_a_hundredth(paper: str) -> None:
    read = printed(paper)
    found = paths(read)
    cards = borders(found)
    assert len(cards) == {"a4": 2, "letter": 2, "a3": 3, "tabloid": 3}[paper]
    for left, top in cards:
        for x, y in PLACES.values():
            inside = [
                path.box
                for path in found
                if path.width == 0
                and path.box[0] > left + x - 0.1
                and path.box[1] > top + y - 0.1
                and path.box[2] < left + x + MARKER_MM + 0.1
                and path.box[3] < top + y + MARKER_MM + 0.1
            ]
            edges = np.array(inside)
            whole = [*edges.min(axis=0)[:2], *edges.max(axis=0)[2:]]
            assert whole == pytest.approx(
                [left + x, top + y, left + x + MARKER_MM, top + y + MARKER_MM], abs=0.01
            )
    bars = [path for path in found if path.is_level and abs(path.width - 0.3) < 0.01]
    lengths = [round(path.length, 2) for path in bars]
    assert lengths.count(CHECK_BAR_MM) == len(cards)
    assert {100.0, 101.6} <= set(lengths)


@pytest.mark.parametrize("paper", PAPERS)
def test_it_is_one_page_that_every_printer_reaches_and_says_what_to_do(paper: str) -> None:
    read = printed(paper)
    assert len(read.sizes_mm) == 1
    ((wide, high),) = read.sizes_mm
    boxes = [path.box for path in paths(read)] + text_boxes(read)
    assert min(min(box[:2]) for box in boxes) >= 6
    assert max(box[2] for box in boxes) <= wide - 6
    assert max(box[3] for box in boxes) <= high - 6
    for words in ("50 mm: check with a ruler", "Lay one flat beside your full-size drawing"):
        assert words in read.text()
