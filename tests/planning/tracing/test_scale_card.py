"""The scale card as it is printed."""

import cv2
import numpy as np
import pytest

from planning.tracing import scale_card

# ISO 216: A4 is 210 × 297 mm; ANSI/ASME Y14.1: Letter is 8½ × 11 in.
QUARTERS_MM = {"A4": (297 / 2, 210 / 2), "Letter": (11 * 25.4 / 2, 8.5 * 25.4 / 2)}


@pytest.mark.parametrize("paper", QUARTERS_MM)
def test_it_fits_a_quarter_of_the_paper_with_room_to_cut(paper: str) -> None:
    width, height = QUARTERS_MM[paper]
    assert width > scale_card.WIDTH_MM + 5
    assert height > scale_card.HEIGHT_MM + 5


@pytest.mark.parametrize("marker", scale_card.PLACES)
def test_its_markers_are_those_of_the_published_dictionary(marker: int) -> None:
    """Against the dictionary that OpenCV ships as DICT_4X4_50 (objdetect, aruco)."""
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    published = cv2.aruco.generateImageMarker(dictionary, marker, 6 * 11)
    x, y = scale_card.PLACES[marker]
    drawn = np.full_like(published, 255)
    for black in scale_card.black_modules(marker):
        left, top = (round(each * 2) for each in (black.x_mm - x, black.y_mm - y))
        across, down = round(black.width_mm * 2), round(black.height_mm * 2)
        drawn[top : top + down, left : left + across] = 0
    assert (drawn == published).all()


def test_markers_keep_a_cell_of_white_round_them() -> None:
    """What the detection of square markers asks for (OpenCV, aruco tutorial)."""
    corners = np.array([scale_card.corners_mm(marker) for marker in scale_card.PLACES])
    low, high = corners.min(axis=(0, 1)), corners.max(axis=(0, 1))
    edge = (scale_card.WIDTH_MM, scale_card.HEIGHT_MM)
    assert min(*low, *(edge - high)) >= scale_card.CELL_MM
    between = corners[2].min(axis=0) - corners[0].max(axis=0)
    assert between.min() >= 2 * scale_card.CELL_MM


def test_the_bar_that_a_ruler_checks_lies_between_the_markers() -> None:
    x, y = scale_card.CHECK_BAR_AT
    corners = np.array([scale_card.corners_mm(marker) for marker in (0, 2)])
    assert corners[0, :, 0].max() <= x
    assert x + scale_card.CHECK_BAR_MM <= corners[1, :, 0].min()
    assert corners[0, :, 1].max() < y < corners[1, :, 1].min()
