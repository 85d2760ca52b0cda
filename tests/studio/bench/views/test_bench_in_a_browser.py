"""Building on a phone: rows ticked, three build checks, carrying on with the teacher's consent."""

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from studio.bench.models import BuildCheck, CarryOn, RowLaid
from tests.browser import Windows, follow
from tests.cast import School
from tests.chromium import PHONE
from tests.studio.ware.pots import a_pot

pytestmark = pytest.mark.browser

LEAST_TARGET = 44


def measure(page: Page, *places: tuple[str, str, str]) -> None:
    """Check the pot: height, width and how the clay is, at each place."""
    follow(page, page.get_by_role("link", name="Check", exact=False).first)
    for number, (height, width, state) in enumerate(places):
        place = page.locator("fieldset.place").nth(number)
        place.get_by_label("Height").fill(height)
        place.get_by_label("Width").fill(width)
        place.get_by_label(state).check()
    follow(page, page.get_by_role("button", name="Check it"))


def test_a_student_builds_checks_and_carries_on(cast: School, windows: Windows) -> None:
    pot = a_pot(cast)
    page = windows.signed_in(cast.student, PHONE).open(reverse("piece", args=[pot.piece_id]))
    follow(page, page.get_by_role("link", name="At the bench"))
    expect(page.get_by_role("heading", name="Row 1 of 11")).to_be_visible()
    for row in (1, 2, 3):
        button = page.get_by_role("button", name=f"Row {row} stands")
        box = button.bounding_box()
        assert box is not None
        assert box["height"] >= LEAST_TARGET
        follow(page, button)
    # The wall after three rows, in inches: 2 1/16 in are 52 mm, lower than planned.
    page.get_by_label("How high does the wall stand now?").fill("2 1/16 in")
    follow(page, page.get_by_role("button", name="Say the wall"))
    expect(page.get_by_text("The wall is about")).to_be_visible()
    follow(page, page.get_by_role("button", name="Row 3 does not stand after all"))
    follow(page, page.get_by_role("button", name="Row 3 stands"))

    # One within, one too wide, one stiff and left alone.
    measure(page, ("5.9", "17.0", "soft"))
    expect(page.get_by_text("As planned here.")).to_be_visible()
    follow(page, page.get_by_role("link", name="Go on with the rows"))
    page.get_by_text("7 rows to come").click()
    follow(page, page.get_by_role("button", name="All up to row 5 stand"))
    measure(page, ("9.5", "20.6", "soft"), ("5.9", "17.0", "stiff"))
    expect(page.get_by_text("Cut 6 darts, evenly spaced")).to_be_visible()
    assert page.locator("path.dart").count() == 3
    measure(page, ("9.5", "20.7", "stiff"))
    expect(page.get_by_text("Leave it: stiff clay cracks when it is forced.")).to_be_visible()

    follow(page, page.get_by_role("button", name="Ask to carry on from here"))
    expect(page.get_by_role("heading", name="The new rows")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]

    teacher = windows.signed_in(cast.teacher).open(reverse("today"))
    follow(teacher, teacher.get_by_role("link", name=f"{pot.code}, Ode A."))
    teacher.get_by_label("Note to the student").fill("Keep the edge damp.")
    follow(teacher, teacher.get_by_role("button", name="Yes, by these rows"))

    page.goto(page.url)
    follow(page, page.get_by_role("link", name="At the bench"))
    expect(page.get_by_text("Keep the edge damp.")).to_be_visible()
    follow(page, page.get_by_role("button", name="Row 6 stands"))
    expect(page.get_by_role("button", name="Row 7 stands")).to_be_visible()

    assert RowLaid.objects.standing().count() == 6
    assert BuildCheck.objects.count() == 3
    assert CarryOn.objects.agreed().count() == 1


def test_a_double_tap_lays_one_row(cast: School, windows: Windows) -> None:
    pot = a_pot(cast)
    page = windows.signed_in(cast.student, PHONE).open(reverse("bench", args=[pot.pk]))
    button = page.get_by_role("button", name="Row 1 stands")
    with page.expect_navigation():
        button.dblclick(no_wait_after=True)
    page.goto(page.url)
    expect(page.get_by_role("heading", name="Row 2 of 11")).to_be_visible()
    assert RowLaid.objects.count() == 1
