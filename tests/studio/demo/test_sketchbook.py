"""The drawings that stand in for students' photographs: repeatable, different, readable."""

import io
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from studio.demo.forms import forms_from, varied
from studio.demo.paper import Page
from studio.demo.pencil import Hand, Place, drawing
from studio.demo.photo import Shot, photographed
from studio.demo.sketchbook import place_on, refinement_photo, sketchbook_of, thumbnail_photo

FORMS = forms_from(Path(__file__).parents[3] / "fixtures" / "forms.toml")
PEAR = FORMS["pear"]


def opened(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data))


def test_the_same_seeds_give_the_same_bytes() -> None:
    assert thumbnail_photo(sketchbook_of(3), PEAR, 5) == thumbnail_photo(sketchbook_of(3), PEAR, 5)


def test_a_photograph_is_a_jpeg_of_phone_proportions_without_metadata() -> None:
    image = opened(thumbnail_photo(sketchbook_of(3), PEAR, 5, "bud"))
    assert (image.format, image.size) == ("JPEG", (840, 1120))
    assert dict(image.getexif()) == {}


@pytest.mark.parametrize("student", range(0, 24, 3))
def test_two_drawings_of_one_student_differ_in_more_than_noise(student: int) -> None:
    book = sketchbook_of(student)
    pair = [thumbnail_photo(book, FORMS[name], student) for name in ("pear", "hourglass")]
    small = [np.asarray(opened(data).convert("L").resize((90, 120)), float) for data in pair]
    assert np.abs(small[0] - small[1]).max() > 12


def test_a_refinement_is_a_different_picture_of_the_same_form() -> None:
    book = sketchbook_of(9)
    assert refinement_photo(book, PEAR, 5) != thumbnail_photo(book, PEAR, 5)


@pytest.mark.parametrize("name", FORMS)
def test_every_form_fits_on_its_page(name: str) -> None:
    for seed in range(4):
        page, form = sketchbook_of(seed).page, varied(FORMS[name], seed)
        place = place_on(page, form, seed)
        half = form.half_width * place.height_mm
        assert 0 < place.x_mm - half < place.x_mm + half < page.width_mm
        assert place.foot_mm - place.height_mm > 0
        assert place.foot_mm < page.height_mm


def test_the_pencil_leaves_the_form_that_was_asked_for() -> None:
    """The dark pixels are as tall and as wide as the pot, within a hand's inaccuracy."""
    page = Page(148, 210)
    hand = Hand(dark=1.0, wobble_mm=0.2, passes=1, overshoot_mm=0.0)
    place = Place(74, 160, 110)
    image = photographed(page, drawing(PEAR, hand, place, 1), Shot(1, view_mm=130))
    grey = np.asarray(image.convert("L"), float)
    dark = grey[100:-100, 100:-100] < 0.62 * np.median(grey)
    rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
    ratio = (columns[-1] - columns[0]) / (rows[-1] - rows[0])
    assert ratio == pytest.approx(2 * PEAR.half_width, rel=0.15)


def test_a_page_carries_many_drawings_or_none() -> None:
    page, hand = Page(297, 210), Hand()
    many = [
        stroke
        for number, name in enumerate(("pear", "egg", "gourd"))
        for stroke in drawing(FORMS[name], hand, Place(60 + 85 * number, 150, 80), number)
    ]
    shot = Shot(2, width_px=600, height_px=450)
    full, empty = photographed(page, many, shot), photographed(page, [], shot)
    assert full.size == empty.size == (600, 450)
    assert np.asarray(full, float).mean() < np.asarray(empty, float).mean()


def test_the_renderer_knows_no_django() -> None:
    code = "import sys, studio.demo.drawings; print('django' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
