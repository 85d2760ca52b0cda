"""Forms that aren't drawn, read from photos; and what lies on a table but is none."""

from collections.abc import Callable

import cv2
import numpy as np
import pytest

from planning.exploration import fitted
from planning.exploration.poses import poses_of
from planning.exploration.reasons import NoForm
from planning.exploration.silhouette import form_in
from planning.exploration.similarity import compared, likeness
from planning.exploration.solids import is_sheet, solids_on
from tests.planning.exploration.drawn import Way, drawn
from tests.planning.exploration.ideas import FITTED, UNSEEN, Array, idea, redrawn
from tests.planning.exploration.solids import cut_out, modelled


@pytest.mark.parametrize("photo", [cut_out, modelled])
def test_a_form_in_paper_or_clay_is_the_idea_that_its_drawing_is(
    photo: Callable[[Array, np.random.Generator], Array],
) -> None:
    told = []
    for number in range(4):
        outline = idea(810_000 + number, FITTED + UNSEEN)
        rng = np.random.default_rng((810, number))
        pictures = (drawn(redrawn(outline, rng), Way(), rng), photo(outline, rng))
        told += [poses_of(form_in(picture).form) for picture in pictures]
    alike = likeness(compared(told).distances) > fitted.SAME
    assert np.array_equal(alike, np.kron(np.eye(4, dtype=bool), np.ones((2, 2), bool)))


def whole(gray: Array) -> Array:
    return np.full_like(gray, 255)


def test_a_form_is_found_to_the_pixel_and_its_hole_is_filled() -> None:
    gray = np.full((400, 300), 200, np.uint8)
    gray[100:250, 80:220] = 90
    gray[150:180, 130:160] = 200
    (form,) = solids_on(gray, whole(gray))
    assert cv2.boundingRect(form) == (80, 100, 140, 150)
    assert np.count_nonzero(form) == pytest.approx(140 * 150, rel=0.01)


def test_a_soft_shadow_is_no_form_though_a_line_is_drawn_through_it() -> None:
    gray = np.full((700, 520), 220, np.float32)
    shade = np.zeros_like(gray)
    cv2.circle(shade, (260, 350), 110, 1, -1)
    gray *= 1 - 0.35 * cv2.GaussianBlur(shade, (0, 0), 30)
    photo = gray.astype(np.uint8)
    assert not solids_on(photo, whole(photo))
    cv2.circle(photo, (300, 350), 90, 40, 3)
    assert not solids_on(photo, whole(photo))
    assert form_in(photo).form.shape[0] == pytest.approx(183, abs=8)


def test_light_on_a_sheet_is_no_form_though_the_sheet_ends_in_it() -> None:
    shade = np.zeros((700, 520), np.float32)
    cv2.circle(shade, (200, 350), 150, 1, -1)
    light = 150 * (1 + 0.4 * cv2.GaussianBlur(shade, (0, 0), 45))
    light[:, :200] = 150  # the table
    assert not solids_on(light.astype(np.uint8), whole(light.astype(np.uint8)))


def test_what_runs_off_the_picture_is_no_form() -> None:
    gray = np.full((400, 300), 200, np.uint8)
    gray[100:250, :150] = 90
    assert not solids_on(gray, whole(gray))


def test_a_form_on_a_sheet_on_a_table_is_found_on_the_sheet() -> None:
    gray = np.full((600, 500), 60, np.uint8)
    gray[40:560, 40:460] = 220
    cv2.circle(gray, (250, 300), 100, 120, -1)
    (sheet,) = solids_on(gray, whole(gray))
    assert is_sheet(sheet)
    form = form_in(gray).form
    assert np.count_nonzero(form) == pytest.approx(np.pi * 100**2, rel=0.05)


def test_a_blank_sheet_on_a_table_shows_nothing() -> None:
    gray = np.full((600, 500), 60, np.uint8)
    gray[40:560, 40:460] = 220
    with pytest.raises(NoForm, match="nothing_drawn"):
        form_in(gray)


def test_light_that_fits_no_ground_shows_no_form() -> None:
    """Stripes of every light along the edges: there is nothing that a form could lie on."""
    gray = np.tile(np.where(np.arange(300) // 20 % 2, 250, 5).astype(np.uint8), (300, 1))
    assert not solids_on(gray, whole(gray))
    assert not solids_on(gray, np.zeros_like(gray))
