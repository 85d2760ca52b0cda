"""The scale card in a photograph."""

import cv2
import numpy as np
import pytest

from planning.tracing.finding import card_in
from planning.tracing.plane import plane_through

from .scene import Array, Camera, Canvas, Photo, photographed

CARD_MM = (132, 96)


def _photo_of_a_card(turn_deg: float, camera: Camera) -> Photo:
    canvas = Canvas(200, 260, np.random.default_rng(5))
    canvas.paper(10, 10, 180, 240)
    canvas.card(100, 180, turn_deg)
    return photographed(canvas, camera)


def _on_canvas(card: Array, turn_deg: float) -> Array:
    """Where places on the card (n, 2) lie on the canvas."""
    turn = np.radians(turn_deg)
    spin = np.array(((np.cos(turn), -np.sin(turn)), (np.sin(turn), np.cos(turn))))
    return (card - np.array(CARD_MM) / 2) @ spin.T + (100, 180)


@pytest.mark.parametrize("turn_deg", [0, 4, 93, 180])
def test_its_corners_are_found_to_a_tenth_of_a_pixel(turn_deg: float) -> None:
    camera = Camera(1600, tilt_deg=12, towards_deg=50, roll_deg=2, bend=0.004)
    photo = _photo_of_a_card(turn_deg, camera)
    card = card_in(photo.gray)
    assert card is not None
    assert card.markers == (0, 1, 2, 3)
    off = card.photo - photo.seen(_on_canvas(card.paper, turn_deg))
    assert np.sqrt((off**2).sum(axis=1).mean()) < 0.1


def test_the_plane_through_them_gives_measures_of_the_paper_round_it() -> None:
    photo = _photo_of_a_card(4, Camera(1600, tilt_deg=10, towards_deg=200))
    card = card_in(photo.gray)
    assert card is not None
    plane = plane_through(card.paper, card.photo, photo.gray.shape[::-1])
    far = np.array(((0.0, 0.0), (132.0, 0.0), (0.0, -120.0), (132.0, -120.0)))
    measured = plane.to_paper(photo.seen(_on_canvas(far, 4)))
    assert np.abs(measured - far).max() < 0.3


def test_how_blurred_it_is_is_measured() -> None:
    """A Gaussian of 2 px in the photo on top of the drawing's own resolution."""
    blurs = []
    for blur in (0.7, 2.0, 3.0):
        card = card_in(_photo_of_a_card(4, Camera(1600, blur_px=blur)).gray)
        assert card is not None
        blurs.append(card.blur_px)
    assert blurs == pytest.approx([0.85, 2.0, 3.0], abs=0.35)


def test_a_picture_without_one_has_none() -> None:
    assert card_in(np.full((900, 700), 200, np.uint8)) is None


def test_a_marker_that_stands_there_twice_is_passed_by() -> None:
    photo = _photo_of_a_card(0, Camera(1600))
    twice = np.hstack((photo.gray, photo.gray))
    assert card_in(twice) is None
    covered = photo.gray.copy()
    x, y = photo.seen(_on_canvas(np.array(((23.0, 23.0),)), 0))[0].astype(int)
    cv2.circle(covered, (x, y), 60, 128, -1)
    card = card_in(covered)
    assert card is not None
    assert card.markers == (1, 2, 3)


def test_three_places_in_a_line_span_no_plane() -> None:
    line = np.array(((0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (3.0, 0.0)))
    with pytest.raises(ValueError, match="in one line"):
        plane_through(line, line * 5, (100, 100))
