"""The plan's figures while they are typed on a phone."""

import pytest
from django.urls import reverse
from playwright.sync_api import Dialog, expect

from planning.plans.inputs import Line
from planning.services.plans import save_draft
from tests.browser import Windows
from tests.cast import NOW, School
from tests.chromium import PHONE
from tests.planning.work import a_piece, choose, drawn_plan

pytestmark = pytest.mark.browser


def test_a_pot_and_its_handles_appear_with_the_second_measured_line(
    cast: School, windows: Windows
) -> None:
    piece = a_piece(cast)
    choose(cast, piece)
    save_draft(piece=piece, drawn=drawn_plan(tuple(Line(h) for h in (0, 50, 100))), at=NOW)
    page = windows.signed_in(cast.student, PHONE).open(reverse("plan", args=[piece.pk]))
    expect(page.get_by_text("Measure two lines or more")).to_be_visible()
    expect(page.get_by_label("Move both sides together")).to_be_hidden()
    for line in (1, 2):
        for side in ("Left", "Right"):
            page.get_by_label(f"{side}, line {line}", exact=True).fill("4")
    expect(page.locator("#figures .plan-drawing")).to_be_visible()
    expect(page.locator("#figures")).to_contain_text("Clay to take")
    expect(page.get_by_role("slider")).to_have_count(4)
    page.get_by_role("slider", name="Line 2, left").focus()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_label("Left, line 2")).to_have_value("3.9")


def test_figures_that_are_not_saved_are_asked_about_before_they_are_left(
    cast: School, windows: Windows
) -> None:
    piece = a_piece(cast)
    choose(cast, piece)
    save_draft(piece=piece, drawn=drawn_plan(), at=NOW)
    address = reverse("plan", args=[piece.pk])
    page = windows.signed_in(cast.student, PHONE).open(address)
    asked: list[str] = []

    def stay(box: Dialog) -> None:
        asked.append(box.type)
        box.dismiss()

    page.on("dialog", stay)
    page.get_by_label("Left, line 1").fill("")
    page.get_by_role("button", name="Send to the teacher").click()
    said = page.get_by_text("Measure left and right here")
    # At the top of the page and at the line.
    expect(said).to_have_count(2)
    page.get_by_label("Left, line 1").fill("6")
    expect(said).to_have_count(0)
    page.locator("a.back").click(no_wait_after=True)
    expect(page.get_by_label("Left, line 1")).to_have_value("6")
    assert asked == ["beforeunload"]
    page.get_by_role("button", name="Save for later").click()
    expect(page.get_by_text("Saved. Send it when")).to_be_visible()
    assert asked == ["beforeunload"]
