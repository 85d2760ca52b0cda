"""Boxes over a sheet put right with a finger, on a phone: each change is kept at once."""

import pytest
from django.urls import reverse
from playwright.sync_api import Page, Route, expect
from pytest_django import Settings

from planning.models import Sheet, Thumbnail
from planning.services.sheets import add_sheet, set_boxes, take_sheet
from studio.jobs.models import Job
from studio.jobs.tasks import run_job
from tests.browser import Windows, follow, swipe
from tests.cast import NOW, School
from tests.chromium import PHONE
from tests.planning.sheet_photos import BOXES, WIDE, file_of, photographed, proposed, sent
from tests.planning.work import a_piece

pytestmark = pytest.mark.browser


@pytest.fixture(autouse=True)
def queued(settings: Settings) -> None:
    """Nothing is read before the test says so, as when the worker is busy."""
    settings.TASKS = {"default": {"BACKEND": "django_tasks.backends.dummy.DummyBackend"}}


def on_screen(page: Page, x: float, y: float) -> tuple[float, float]:
    """A pixel of the photo, where the page shows it."""
    picture = page.locator(".over-photo img").bounding_box()
    assert picture is not None
    each = picture["width"] / WIDE
    return picture["x"] + x * each, picture["y"] + y * each


def tap(page: Page, number: int) -> None:
    """The middle of a box, by its number."""
    x, y, wide, high = (
        int(side)
        for side in (page.locator(".box").nth(number - 1).get_attribute("data-box") or "").split()
    )
    page.touchscreen.tap(*on_screen(page, x + wide / 2, y + high / 2))


def do(page: Page, name: str, count: int) -> None:
    """Press a button of the boxes, and wait until so many are kept."""
    page.get_by_role("button", name=name, exact=True).click()
    expect(page.locator(".box")).to_have_count(count)
    kept(page)


def kept(page: Page) -> None:
    expect(page.locator(".box-tools").get_by_role("status")).to_have_text("Kept.")


def boxes_of(sheet: Sheet) -> list[list[int]]:
    return Sheet.objects.get(pk=sheet.pk).boxes or []


def test_boxes_are_removed_joined_split_added_and_dragged_by_touch(
    cast: School, windows: Windows
) -> None:
    sheet = proposed(sent(a_piece(cast)))
    visitor = windows.signed_in(cast.student, PHONE, has_touch=True, is_mobile=True)
    page = visitor.open(reverse("sheet", args=[sheet.pk]))
    for button in page.locator(".box-tools button").all():
        size = button.bounding_box()
        assert size is not None
        assert min(size["width"], size["height"]) >= 44
    expect(page.get_by_role("button", name="Remove")).to_be_disabled()
    tap(page, 2)
    expect(page.get_by_role("checkbox", name="Drawing 2", exact=True)).to_be_checked()
    do(page, "Remove", 3)
    assert boxes_of(sheet) == [BOXES[0], *BOXES[2:]]
    do(page, "Undo", 4)
    assert boxes_of(sheet) == BOXES

    tap(page, 1)
    tap(page, 2)
    do(page, "Join", 3)
    joined = [20, 20, 350, 200]  # the smallest that holds both
    assert boxes_of(sheet) == [joined, *BOXES[2:]]
    do(page, "Split", 4)  # it is still picked
    # Its label is the server's, of the boxes as they are kept.
    expect(page.get_by_role("button", name="Take these 4 drawings")).to_be_visible()
    near, far = boxes_of(sheet)[:2]
    assert 155 < near[0] + near[2] == far[0] < 243  # the paper between the two
    assert [near[0], far[0] + far[2], near[3], far[3]] == [20, 370, 200, 200]

    # The corner across from the one that is dragged stays.
    tap(page, 4)
    x, y, wide, high = BOXES[3]
    start = on_screen(page, x + wide, y + high)
    swipe(page, start, right=40, down=30)
    kept(page)
    expect(page.get_by_role("button", name="Take these 4 drawings")).to_be_visible()
    each = WIDE / (page.locator(".over-photo img").bounding_box() or {"width": 0})["width"]
    assert boxes_of(sheet)[3] == pytest.approx([x, y, wide + 40 * each, high + 30 * each], abs=3)

    tap(page, 4)  # no longer picked
    do(page, "Add", 5)
    follow(page, page.get_by_role("button", name="Take these 5 drawings"))
    expect(page.get_by_text("5 drawings are among your thumbnails.")).to_be_visible()
    assert [each.box for each in Thumbnail.objects.all()] == boxes_of(sheet)


def test_an_older_window_overwrites_nothing(cast: School, windows: Windows) -> None:
    sheet = proposed(sent(a_piece(cast)))
    visitor = windows.signed_in(cast.student, PHONE, has_touch=True, is_mobile=True)
    visitor.expected_statuses.add(409)
    page = visitor.open(reverse("sheet", args=[sheet.pk]))
    set_boxes(sheet=sheet, boxes=BOXES[:3], edition=1, by=cast.student)
    tap(page, 1)
    page.get_by_role("button", name="Remove").click()
    sentence = "The boxes changed meanwhile, perhaps in another window. Look again."
    expect(page.get_by_text(sentence)).to_be_visible()
    expect(page.locator(".box")).to_have_count(3)
    assert boxes_of(sheet) == BOXES[:3]
    tap(page, 1)
    do(page, "Remove", 2)
    # Taken in the other window: the page says so instead of keeping boxes.
    take_sheet(sheet=sheet, by=cast.student, edition=3, at=NOW)
    tap(page, 1)
    page.get_by_role("button", name="Remove").click()
    expect(page.get_by_text("These drawings are among your thumbnails")).to_be_visible()
    assert Thumbnail.objects.count() == 2


def test_what_did_not_arrive_is_kept_before_it_is_taken(cast: School, windows: Windows) -> None:
    sheet = proposed(sent(a_piece(cast)))
    visitor = windows.signed_in(cast.student, PHONE, has_touch=True, is_mobile=True)
    page = visitor.open(reverse("sheet", args=[sheet.pk]))

    def broken(route: Route) -> None:
        route.abort()

    page.route("**/boxes/", broken)
    tap(page, 4)
    page.get_by_role("button", name="Remove").click()
    expect(page.get_by_text("Not kept yet: the connection broke.")).to_be_visible()
    assert boxes_of(sheet) == BOXES
    page.unroute("**/boxes/", broken)
    # Its label is the server's, of the boxes as they are kept.
    follow(page, page.get_by_role("button", name="Take these 4 drawings"))
    expect(page.get_by_text("3 drawings are among your thumbnails.")).to_be_visible()
    assert boxes_of(sheet) == BOXES[:3]


def test_the_page_shows_the_boxes_as_soon_as_they_are_found(cast: School, windows: Windows) -> None:
    truth = photographed()
    sheet = add_sheet(piece=a_piece(cast), by=cast.student, file=file_of(truth), at=NOW)
    page = windows.signed_in(cast.student, PHONE).open(reverse("sheet", args=[sheet.pk]))
    expect(page.get_by_role("heading", name="Being taken apart")).to_be_visible()
    for kind in ("read_image", "take_sheet_apart"):
        run_job.call(str(Job.objects.get(kind=kind).pk))
    expect(page.locator(".box")).to_have_count(len(truth.boxes))
    expect(page.get_by_role("button", name="Add", exact=True)).to_be_enabled()
