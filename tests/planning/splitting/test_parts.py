"""What a page's parts enclose, and which of them are drawings, on pages drawn by plain geometry."""

from typing import Any

import cv2
import numpy as np
import pytest

from planning.exploration.paper import Strokes
from planning.splitting.choosing import drawings_among
from planning.splitting.framing import without_frames
from planning.splitting.parts import Part, parts_on
from planning.splitting.reading import in_reading_order
from planning.splitting.run import answer

WIDTH = 3


@pytest.fixture
def ink() -> np.ndarray[Any, np.dtype[np.uint8]]:
    return np.zeros((1000, 800), np.uint8)


def strokes(ink: Any) -> Strokes:
    return Strokes(np.pad(np.full((996, 796), 255, np.uint8), 2), ink, WIDTH)


def parts(ink: Any) -> list[Part]:
    return parts_on(strokes(ink))


def found(ink: Any) -> list[tuple[int, int]]:
    """Where the drawings' boxes begin, to the nearest ten pixels."""
    return sorted(
        (round(each.x, -1), round(each.y, -1)) for each in drawings_among(parts(ink), 1000, WIDTH)
    )


def box(ink: Any, x: int, y: int, wide: int, high: int) -> None:
    cv2.rectangle(ink, (x, y), (x + wide, y + high), 255, WIDTH)


def test_a_closed_line_encloses_its_area_and_an_open_one_next_to_nothing(ink: Any) -> None:
    box(ink, 100, 100, 200, 150)
    cv2.polylines(ink, [np.array([[500, 100], [500, 250], [700, 250], [700, 100]])], False, 255, 3)
    closed, opened = sorted(parts(ink), key=lambda part: part.x)
    assert closed.area == pytest.approx(203 * 153, rel=0.03)
    assert opened.area < 0.1 * closed.area


def test_a_pot_without_its_rim_is_a_drawing_beside_closed_ones(ink: Any) -> None:
    box(ink, 100, 100, 200, 150)
    cv2.polylines(ink, [np.array([[500, 100], [500, 250], [700, 250], [700, 100]])], False, 255, 3)
    assert found(ink) == [(100, 100), (500, 100)]


def test_frames_round_drawings_are_none(ink: Any) -> None:
    for x in (50, 420):
        box(ink, x, 100, 330, 300)
        cv2.circle(ink, (x + 160, 250), 80, 255, WIDTH)
    assert found(ink) == [(130, 170), (500, 170)]


def test_drawings_that_touch_the_lines_of_a_grid_come_free(ink: Any) -> None:
    for y in (100, 350):
        for x in (50, 300, 550):
            box(ink, x, y, 250, 250)
            cv2.circle(ink, (x + 120, y + 130), 70, 255, WIDTH)
    ink[460:500, 680:] = 0
    cv2.circle(ink, (620, 480), 70, 255, WIDTH)
    unframed = without_frames(strokes(ink), parts(ink))
    assert not unframed.drawn[600, 350:380].any()
    drawings = drawings_among(parts_on(unframed), 1000, WIDTH)
    assert sorted((each.x, each.y) for each in drawings)[:3] == [(98, 158), (98, 408), (348, 158)]
    assert len(drawings) == 6


def test_a_page_without_frames_is_left_as_it_is(ink: Any) -> None:
    box(ink, 100, 100, 200, 300)
    box(ink, 400, 100, 200, 300)
    page = strokes(ink)
    assert without_frames(page, parts_on(page)) is page


def test_a_rectangle_with_marks_in_it_is_a_drawing(ink: Any) -> None:
    box(ink, 100, 100, 200, 300)
    for y in (180, 250, 320):
        cv2.line(ink, (120, y), (280, y), 255, WIDTH)
    assert found(ink) == [(100, 100)]


@pytest.mark.parametrize("radius", [10, 3])
def test_rings_with_numbers_in_them_are_none_and_a_small_round_pot_is_one(
    ink: Any, radius: int
) -> None:
    """The number as a mark apart, or so small that it is lost among specks and the ring touches
    it."""
    for x in (100, 300, 500):
        cv2.circle(ink, (x, 200), 27, 255, WIDTH)
        if radius > 5:
            cv2.circle(ink, (x, 200), radius, 255, WIDTH)
        else:
            cv2.line(ink, (x, 172), (x, 220), 255, WIDTH)
        box(ink, x + 50, 250, 90, 120)
    cv2.circle(ink, (200, 600), 32, 255, WIDTH)
    assert (170, 570) in found(ink)
    assert len(found(ink)) == 4


def test_words_are_cut_off_a_drawing_and_none_themselves(ink: Any) -> None:
    box(ink, 100, 100, 200, 200)
    for text, at in (("pod", (305, 220)), ("Thumbnails", (100, 600))):
        cv2.putText(ink, text, at, cv2.FONT_HERSHEY_SCRIPT_SIMPLEX, 1.2, 255, WIDTH)
    cv2.line(ink, (300, 210), (320, 210), 255, WIDTH)
    (drawing,) = drawings_among(parts(ink), 1000, WIDTH)
    assert drawing.width < 240


def test_a_word_with_wide_loops_is_cut_off_the_drawing_that_it_touches(ink: Any) -> None:
    box(ink, 100, 100, 200, 200)
    cv2.line(ink, (300, 200), (430, 200), 255, WIDTH)
    for x in (330, 378, 426):
        cv2.circle(ink, (x, 200), 20, 255, WIDTH)
    (drawing,) = drawings_among(parts(ink), 1000, WIDTH)
    assert drawing.width < 240


def test_a_long_thin_strip_is_all_cut_away(ink: Any) -> None:
    box(ink, 100, 100, 200, 200)
    box(ink, 400, 100, 200, 200)
    box(ink, 100, 600, 500, 19)
    assert found(ink) == [(100, 100), (400, 100)]


def test_a_long_strip_along_the_edge_is_no_drawing(ink: Any) -> None:
    box(ink, 300, 300, 150, 150)
    box(ink, 690, 100, 110, 600)
    assert found(ink) == [(300, 300)]


def test_what_runs_off_the_page_is_a_drawing_if_it_is_large(ink: Any) -> None:
    box(ink, 300, 300, 150, 150)
    box(ink, 660, 300, 135, 150)
    box(ink, 735, 600, 60, 60)
    ink[5:9, 2:700] = 255  # the shadow of the page's edge
    assert found(ink) == [(300, 300), (660, 300)]


def test_lines_and_words_alone_are_no_drawing(ink: Any) -> None:
    assert found(ink) == []
    cv2.line(ink, (100, 100), (700, 140), 255, WIDTH)
    assert found(ink) == []


def test_drawings_are_read_by_rows_though_a_page_is_askew() -> None:
    rows = [(x, y + 0.1 * x, 80, 100) for y in (0, 150) for x in (0, 100, 200, 300, 400)]
    assert in_reading_order(np.array(rows, float)) == list(range(10))
    assert in_reading_order(np.zeros((0, 4))) == []


def test_drawings_scattered_in_their_rows_are_read_by_rows() -> None:
    """The small one above at the end of the first row, and that below in the second, belong to
    them: between the rows there is an empty strip, though the page is askew."""
    first = [(0, 40, 80, 100), (120, 60, 60, 60), (250, 0, 60, 30)]
    second = [(10, 170, 60, 20), (100, 200, 90, 80), (240, 150, 60, 100)]
    rows = [(x, y + 0.1 * x, wide, high) for x, y, wide, high in first + second]
    assert in_reading_order(np.array(rows, float)) == list(range(6))


def test_drawings_that_leave_no_strip_between_rows_are_read_by_neighbours() -> None:
    tall = [(0, 0, 50, 120), (60, 0, 80, 90), (150, 0, 80, 90)]
    below = [(0, 130, 50, 80), (60, 100, 80, 110), (150, 100, 80, 110)]
    assert in_reading_order(np.array(tall + below, float)) == list(range(6))


@pytest.mark.parametrize("shade", [0, 128, 255])
def test_a_picture_of_nothing_has_no_drawings(shade: int) -> None:
    picture = np.full((300, 400, 3), shade, np.uint8)
    assert answer(picture, 0.5) == {"width": 800, "height": 600, "drawings": []}
    assert answer(picture[:1, :1], 1.0)["drawings"] == []


def test_two_shaded_drawings_beside_one_that_is_not_are_three() -> None:
    picture = np.full((1000, 800), 230, np.uint8)
    for x in (200, 600):
        cv2.circle(picture, (x, 250), 90, 60, -1)
    assert len(answer(picture, 1.0)["drawings"]) == 2
    cv2.circle(picture, (400, 700), 90, 60, 5)
    assert len(answer(picture, 1.0)["drawings"]) == 3
