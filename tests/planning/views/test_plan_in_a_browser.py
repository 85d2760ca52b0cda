"""The plan's figures while they are typed on a phone."""

import pytest
from django.urls import reverse
from playwright.sync_api import Dialog, expect

from planning.services.plans import save_draft
from tests.browser import Windows
from tests.cast import NOW, School
from tests.chromium import PHONE
from tests.planning.work import a_piece, choose, drawn_plan

pytestmark = pytest.mark.browser


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
