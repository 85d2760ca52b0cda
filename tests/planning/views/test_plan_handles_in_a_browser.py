"""Handles on the plan's drawing and the fields beside it edit the same thing, on a phone."""

import re

import pytest
from django.urls import reverse
from playwright.sync_api import Locator, Page, expect

from planning.models import Piece, PlanVersion
from planning.services.plans import save_draft
from tests.browser import Visitor, Windows, swipe
from tests.cast import NOW, School
from tests.chromium import PHONE
from tests.planning.work import a_piece, choose, drawn_plan

pytestmark = pytest.mark.browser

# The field says, in centimetres, what its handle does.
SETTLED = """(name) => {
    const half = document.querySelector(`[data-field="${name}"]`).dataset.half;
    return Math.abs(10 * document.getElementById(`id_${name}`).value - half) < 0.01;
}"""


@pytest.fixture
def piece(cast: School) -> Piece:
    made = a_piece(cast)
    choose(cast, made)
    save_draft(piece=made, drawn=drawn_plan(), at=NOW)
    return made


@pytest.fixture
def visitor(cast: School, piece: Piece, windows: Windows) -> Visitor:
    opened = windows.signed_in(cast.student, PHONE)
    opened.open(reverse("plan", args=[piece.pk]))
    return opened


def handle(page: Page, name: str) -> Locator:
    return page.get_by_role("slider", name=name, exact=True)


def knob(page: Page, name: str) -> tuple[float, float]:
    """Where the middle of a handle is in the window."""
    box = handle(page, name).locator(".knob").bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def clay(page: Page) -> str:
    return page.locator(".clay-to-take").inner_text()


def drag(page: Page, name: str, right: float) -> None:
    x, y = knob(page, name)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + right / 2, y + 4)
    page.mouse.move(x + right, y)


def test_a_dragged_handle_changes_its_field_and_the_clay_and_is_saved(
    visitor: Visitor, piece: Piece
) -> None:
    page = visitor.page
    before, (start, _y) = clay(page), knob(page, "Line 3, left")
    curve = page.locator(".profile").get_attribute("d")
    drag(page, "Line 3, left", -20)
    field = page.get_by_label("Left, line 3")
    # While it is held: the field and the figures follow, the handle stays under the hand.
    expect(field).not_to_have_value("9.5")
    expect(page.locator(".clay-to-take")).not_to_have_text(before)
    expect(page.locator(".profile")).not_to_have_attribute("d", curve or "")
    assert knob(page, "Line 3, left")[0] == pytest.approx(start - 20, abs=1)
    page.mouse.up()
    expect(handle(page, "Line 3, left")).to_be_focused()
    page.wait_for_function(SETTLED, arg="lines-2-left")
    # The drawing is 200 mm from the table to the rim: so many pixels are a millimetre.
    top, table = knob(page, "Line 5, left")[1], knob(page, "Line 1, left")[1]
    moved_mm = float(field.input_value()) * 10 - 95
    assert moved_mm == pytest.approx(20 * 200 / (table - top), rel=0.1)
    assert page.get_by_label("Right, line 3").input_value() == "9.5"
    page.get_by_role("button", name="Save for later").click()
    expect(page.get_by_text("Saved. Send it when")).to_be_visible()
    kept = PlanVersion.objects.get(piece=piece).inputs["lines"][2]
    assert kept == pytest.approx([100, 95 + moved_mm, 95])
    expect(handle(page, "Line 3, left")).to_have_attribute("data-half", f"{95 + moved_mm:.4f}")


def test_a_finger_takes_a_handle_along_and_still_scrolls_the_page(
    cast: School, piece: Piece, windows: Windows
) -> None:
    visitor = windows.signed_in(cast.student, PHONE, has_touch=True, is_mobile=True)
    page = visitor.open(reverse("plan", args=[piece.pk]))
    before = clay(page)
    # Further than the few pixels after which a browser would take the touch for its own.
    swipe(page, knob(page, "Line 3, left"), right=-40)
    page.wait_for_function(SETTLED, arg="lines-2-left")
    expect(page.locator(".clay-to-take")).not_to_have_text(before)
    moved = page.get_by_label("Left, line 3").input_value()
    assert float(moved) > 10.5
    swipe(page, knob(page, "Line 3, left"), right=2, down=-150)
    page.wait_for_function("scrollY > 50")
    expect(page.get_by_label("Left, line 3")).to_have_value(moved)


def test_keys_ticks_and_typed_numbers_move_the_same_handle(visitor: Visitor) -> None:
    page = visitor.page
    before = clay(page)
    left = handle(page, "Line 3, left")
    left.focus()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_label("Left, line 3")).to_have_value("9.4")
    expect(left).to_have_attribute("aria-valuetext", re.compile(r"9\.4\scm"))
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Shift+ArrowUp")
    expect(page.get_by_label("Left, line 3")).to_have_value("10.0")
    expect(page.locator(".clay-to-take")).not_to_have_text(before)
    expect(left).to_be_focused()
    page.get_by_label("Move both sides together").check()
    handle(page, "Line 1, right").focus()
    page.keyboard.press("ArrowRight")
    for side in ("Left", "Right"):
        expect(page.get_by_label(f"{side}, line 1", exact=True)).to_have_value("5.3")
    x, _y = knob(page, "Line 2, right")
    page.get_by_label("Right, line 2").fill("60 mm")
    expect(handle(page, "Line 2, right")).to_have_attribute("data-half", "60.0000")
    assert knob(page, "Line 2, right")[0] < x - 10


def test_handles_stay_where_no_form_is_and_where_no_connection_is(visitor: Visitor) -> None:
    page = visitor.page
    page.get_by_label("Move both sides together").check()
    drag(page, "Line 4, left", 400)
    page.mouse.up()
    expect(page.locator(".plan-bar")).to_contain_text("cuts the hollow in two")
    expect(page.locator(".profile")).to_have_count(0)
    page.get_by_label("Left, line 4").fill("8")
    page.get_by_label("Right, line 4").fill("8")
    expect(page.locator(".profile")).to_have_count(1)
    expect(page.locator(".plan-bar")).to_contain_text("Clay to take")
    visitor.context.set_offline(True)
    handle(page, "Line 3, left").focus()
    page.keyboard.press("ArrowLeft")
    # No answer says how a ruler shows it, so it stands in millimetres.
    expect(page.get_by_label("Left, line 3")).to_have_value("96 mm")
    expect(page.get_by_text("No connection")).to_be_visible()
    visitor.context.set_offline(False)
    page.get_by_label("Left, line 2").fill("8.1")
    expect(page.get_by_text("No connection")).to_have_count(0)
