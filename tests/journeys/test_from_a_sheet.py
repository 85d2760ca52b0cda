"""A page full of thumbnails on a phone, from its photo to the choice among them.

The sheet's drawings are made up and photographed by `tests.planning.splitting`, which knows where
each one is.
"""

import numpy as np
import pytest
from django.urls import reverse
from playwright.sync_api import FilePayload, Page, expect
from pytest_django import Settings

from planning.models import Choice, Sheet, Thumbnail
from tests.browser import Windows, follow, swipe
from tests.cast import School
from tests.chromium import PHONE
from tests.planning.drawings import file_of as drawing_file
from tests.planning.drawings import picture, run_all
from tests.planning.projects import a_brief, given
from tests.planning.sheet_photos import file_of, photographed
from tests.planning.splitting.counting import overlap
from tests.planning.splitting.sheets import Sheet as Photographed
from tests.planning.work import piece_of

pytestmark = pytest.mark.browser


def payload(name: str, content: bytes) -> FilePayload:
    return FilePayload(name=name, mimeType="image/jpeg", buffer=content)


def box(page: Page, number: int) -> tuple[float, float, float, float]:
    """Where a box is on the screen: x, y, width, height."""
    found = page.locator(".box rect").nth(number - 1).bounding_box()
    assert found is not None
    return found["x"], found["y"], found["width"], found["height"]


def pick(page: Page, number: int) -> None:
    page.locator(".box").nth(number - 1).scroll_into_view_if_needed()
    x, y, wide, high = box(page, number)
    page.touchscreen.tap(x + wide / 2, y + high / 2)


def do(page: Page, name: str, count: int) -> None:
    """Press a button of the boxes, and wait until so many are kept."""
    page.get_by_role("button", name=name, exact=True).click()
    expect(page.get_by_role("button", name=f"Take these {count} drawings")).to_be_visible()


def test_a_sheet_of_thumbnails_leads_to_a_choice(
    cast: School, windows: Windows, settings: Settings
) -> None:
    # Nothing is read before the test says so, as when the worker is busy.
    settings.TASKS = {"default": {"BACKEND": "django_tasks.backends.dummy.DummyBackend"}}
    brief = a_brief(cast.teacher, least_thumbnails=6, least_source_forms=0)
    (assignment,) = given(cast.teacher, cast.section, brief=brief)
    piece, truth = piece_of(assignment, cast.student), photographed(7, 5)
    visitor = windows.signed_in(cast.student, PHONE, has_touch=True, is_mobile=True)
    page = visitor.open(reverse("piece", args=[piece.pk]))

    send_a_sheet(page, truth)
    found = boxes_found(page)
    assert overlap(truth.boxes, np.array(found, float)).diagonal().min() > 0.5
    put_right(page, found)

    follow(page, page.get_by_role("button", name="Take these 4 drawings"))
    expect(page.get_by_text("4 drawings are among your thumbnails.")).to_be_visible()
    run_all()
    expect(page.get_by_role("img", name="Thumbnail")).to_have_count(4)
    assert [each.box for each in Thumbnail.objects.filter(piece=piece)] == found[:4]

    visitor.open(reverse("choose", args=[piece.pk]))
    expect(page.get_by_text("Before you choose: 2 more thumbnails.").first).to_be_visible()
    expect(page.get_by_role("radio")).to_have_count(0)
    send_two_more(visitor.open(reverse("piece", args=[piece.pk])))
    choose(visitor.open(reverse("choose", args=[piece.pk])), 3)
    assert Choice.objects.get().thumbnail.box == found[2]


def send_a_sheet(page: Page, truth: Photographed) -> None:
    """Its photo is sent and left alone; the piece's page leads back to it."""
    photo = payload("sheet.jpg", file_of(truth).read())
    page.get_by_label("Photo of a whole sheet").set_input_files(photo)
    page.get_by_role("button", name="Send the sheet").click()
    expect(page.get_by_role("link", name="A sheet is being taken apart")).to_be_visible()
    run_all()
    waits = page.get_by_role("link", name="A sheet waits for you: 5 drawings")
    expect(waits).to_be_visible()
    follow(page, waits)


def boxes_found(page: Page) -> list[list[int]]:
    expect(page.locator(".box")).to_have_count(5)
    return Sheet.objects.get().boxes or []


def put_right(page: Page, found: list[list[int]]) -> None:
    """One is no drawing, two are joined by mistake; one is added, dragged and removed again."""
    pick(page, 5)
    do(page, "Remove", 4)
    pick(page, 1)
    pick(page, 2)
    do(page, "Join", 3)
    do(page, "Undo", 4)
    do(page, "Add", 5)
    corner = page.locator(".corners .handle").nth(2).bounding_box()
    assert corner is not None
    swipe(page, (corner["x"] + corner["width"] / 2, corner["y"] + corner["height"] / 2), 20, 30)
    expect(page.locator(".box-tools").get_by_role("status")).to_have_text("Kept.")
    # Left and opened again, it is as it was left.
    page.reload()
    expect(page.locator(".box")).to_have_count(5)
    expect(page.get_by_role("button", name="Undo")).to_be_disabled()
    kept = Sheet.objects.get().boxes or []
    pick(page, next(n for n, each in enumerate(kept, start=1) if each not in found))
    do(page, "Remove", 4)


def send_two_more(page: Page) -> None:
    two = [payload(f"{n}.jpg", drawing_file(picture(n)).read()) for n in range(2)]
    page.get_by_label("Photos of your drawings").set_input_files(two)
    page.get_by_role("button", name="Send photos").click()
    expect(page.get_by_text("is being looked at.")).to_have_count(2)
    run_all()
    expect(page.get_by_role("img", name="Thumbnail")).to_have_count(6)


def choose(page: Page, number: int) -> None:
    page.get_by_role("radio").nth(number - 1).check()
    page.get_by_label("Why this one?").fill("Its shoulder holds the light.")
    follow(page, page.get_by_role("button", name="Choose"))
