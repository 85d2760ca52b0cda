"""A tracing put right with a finger, on a phone: the handle and the field say the same thing."""

from io import BytesIO

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.urls import reverse
from PIL import Image, ImageDraw
from playwright.sync_api import Page, expect

from planning.models import PlanPhoto, PlanVersion
from studio.uploads.models import StoredImage
from tests.browser import Windows, follow, swipe
from tests.cast import School
from tests.chromium import PHONE
from tests.planning.plan_photos import FOUR, ROWS, chosen_piece, read, sent, traced, untraced

pytestmark = pytest.mark.browser


def with_picture(photo: PlanPhoto) -> PlanPhoto:
    """The pot of `ROWS` at 4 px a mm, its axis at x = 300 and its table at y = 760."""
    image = Image.new("L", (600, 800), 235)
    for sign, place in ((-1, 1), (1, 2)):
        line = [(300 + 4 * sign * row[place], 760 - 4 * row[0]) for row in ROWS]
        ImageDraw.Draw(image).line(line, fill=60, width=4)
    out = BytesIO()
    image.save(out, "JPEG")
    names = [default_storage.save(f"images/{n}.jpg", ContentFile(out.getvalue())) for n in "ab"]
    StoredImage.objects.filter(pk=photo.image_id).update(full_file=names[0], small_file=names[1])
    return photo


def drag(page: Page, field: str, to_mm: float, at_height_mm: float) -> None:
    """From the handle to where the line is, in pixels of the picture as the page shows it."""
    picture = page.locator(".over-photo img").bounding_box()
    handle = page.locator(f'[data-field="{field}"]').bounding_box()
    assert picture is not None
    assert handle is not None
    each = picture["width"] / 600
    page.mouse.move(handle["x"] + handle["width"] / 2, handle["y"] + handle["height"] / 2)
    page.mouse.down()
    end = (picture["x"] + (300 + 4 * to_mm) * each, picture["y"] + (760 - 4 * at_height_mm) * each)
    page.mouse.move(*end, steps=3)
    expect(page.locator("canvas.lens")).to_be_visible()
    page.mouse.up()


def test_a_handle_that_is_dragged_changes_its_field_and_the_plan(
    cast: School, windows: Windows
) -> None:
    piece = chosen_piece(cast)
    photo = with_picture(traced(sent(piece)))
    page = windows.signed_in(cast.student, PHONE).open(reverse("plan_photo", args=[photo.pk]))
    expect(page.get_by_text("Left and right differ by 0.2")).to_be_visible()
    drag(page, "id_left_1", to_mm=-50, at_height_mm=50)
    # A phone shows the picture at 0.65: a pixel of its screen is 0.4 mm of paper.
    expect(page.get_by_label("Left at 5.0")).to_have_value("5.0")
    expect(page.get_by_text("differ by 1.1 cm at the most, at a height of 5.0 cm")).to_be_visible()
    # And the other way round: a typed measure moves the handle.
    page.get_by_label("Right at 10.0").fill("7")
    expect(page.locator('[data-field="id_right_2"]')).to_have_attribute("cx", "580.0")
    follow(page, page.get_by_role("button", name="Take it into the plan"))
    kept = [line[:3] for line in PlanVersion.objects.get(piece=piece).inputs["lines"]]
    assert kept == [ROWS[0], [50, 50, 61], [100, 65, 70], ROWS[3]]


def test_points_are_tapped_and_what_could_not_be_traced_is_traced_by_hand(
    cast: School, windows: Windows
) -> None:
    piece = chosen_piece(cast)
    photo = with_picture(read(sent(piece, scaled=FOUR)))
    visitor = windows.signed_in(cast.student, PHONE)
    page = visitor.open(reverse("plan_photo", args=[photo.pk]))
    picture = page.locator(".over-photo img").bounding_box()
    assert picture is not None
    each = picture["width"] / 600
    for x, y in ((300, 760), (480, 760), (480, 200), (300, 200)):
        page.mouse.click(picture["x"] + x * each, picture["y"] + y * each)
    expect(page.locator(".tap:not([hidden])")).to_have_count(4)
    follow(page, page.get_by_role("button", name="Trace it"))
    photo.refresh_from_db()
    for tapped, meant in zip(
        photo.taps, ((300, 760), (480, 760), (480, 200), (300, 200)), strict=True
    ):
        assert tapped == pytest.approx(meant, abs=1.5)

    with_picture(untraced(photo, placed=True))
    page = visitor.open(reverse("plan_photo", args=[photo.pk]))
    page.get_by_label("Height of your drawing").fill("15")
    page.get_by_label("A height line every").first.fill("5")
    page.get_by_label("its right half").check()
    follow(page, page.get_by_role("button", name="Begin"))
    drag(page, "id_right_1", to_mm=61, at_height_mm=50)
    expect(page.get_by_label("Half-width at 5.0")).to_have_value("6.1")


def test_a_point_beside_its_line_is_dragged_onto_it_by_a_finger(
    cast: School, windows: Windows
) -> None:
    photo = with_picture(read(sent(chosen_piece(cast), scaled=FOUR)))
    visitor = windows.signed_in(cast.student, PHONE, has_touch=True, is_mobile=True)
    page = visitor.open(reverse("plan_photo", args=[photo.pk]))
    picture = page.locator(".over-photo img").bounding_box()
    assert picture is not None
    each = picture["width"] / 600
    at = (picture["x"] + 300 * each, picture["y"] + 500 * each)
    page.touchscreen.tap(*at)
    expect(page.locator(".tap:not([hidden])")).to_have_count(1)
    swipe(page, at, right=10 * each, down=-60 * each)
    for field, meant in (("#id_x_0", 310), ("#id_y_0", 440)):
        assert float(page.locator(field).input_value()) == pytest.approx(meant, abs=2)


def test_measures_that_lack_are_asked_for_before_the_photo_is_sent(
    cast: School, windows: Windows
) -> None:
    piece = chosen_piece(cast)
    page = windows.signed_in(cast.student, PHONE).open(reverse("plan_photos", args=[piece.pk]))
    lacking = page.locator("form.scaled :invalid:not(fieldset)")
    expect(lacking).to_have_count(1)  # the photo
    page.get_by_label("I tap the ends of two height lines").check()
    expect(lacking).to_have_count(3)
    page.get_by_label("Left ends, from the middle line").fill("0")
    expect(lacking).to_have_count(2)
    page.get_by_label("the scale card lies beside the drawing").check()
    expect(lacking).to_have_count(1)
