"""A handle is dragged on a phone, the clay changes, and the set that is printed afterwards has the
pot's lengths: from the drawing under a finger to a ruler on paper.

A half-width that is measured on the template is the one that stands in the plan's field; nothing
else in the project is asked what it should be.
"""

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from planning.services.plans import save_draft
from tests.browser import Windows, follow
from tests.cast import NOW, School
from tests.chromium import PHONE
from tests.planning.sheets.joined import all_paths
from tests.planning.sheets.test_true_size import crossings, table, the_axis
from tests.planning.work import a_piece, choose, drawn_plan
from tests.studio.paper.measuring import Print

pytestmark = pytest.mark.browser

NEAR_MM = 0.1
# The third height line of `drawn_plan`.
LINE_MM = 100


def dragged(page: Page) -> float:
    """Pull both sides of the third line out, and save: the half-width in its field, in mm."""
    page.get_by_label("Move both sides together").check()
    before = page.locator(".clay-to-take").inner_text()
    knob = page.get_by_role("slider", name="Line 3, right", exact=True).locator(".knob")
    box = knob.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 6, y)
    page.mouse.move(x + 12, y)
    expect(page.locator(".clay-to-take")).not_to_have_text(before)
    page.mouse.up()
    follow(page, page.get_by_role("button", name="Save for later"))
    left, right = (
        page.get_by_label(f"{side}, line 3", exact=True).input_value() for side in ("Left", "Right")
    )
    assert left == right
    return float(left) * 10


def printed(page: Page, name: str) -> Print:
    address = page.get_by_role("link", name=name, exact=True).get_attribute("href")
    root = "/".join(page.url.split("/")[:3])
    answer = page.context.request.get(f"{root}{address}")
    assert answer.headers["content-type"] == "application/pdf"
    return Print(answer.body())


def test_what_is_dragged_is_what_a_ruler_finds_on_the_paper(cast: School, windows: Windows) -> None:
    piece = a_piece(cast)
    choose(cast, piece)
    save_draft(piece=piece, drawn=drawn_plan(), at=NOW)
    page = windows.signed_in(cast.student, PHONE).open(reverse("plan", args=[piece.pk]))
    half_mm = dragged(page)
    assert half_mm > 95

    follow(page, page.get_by_role("link", name="print it at true size"))
    for paper in ("A4", "Letter"):
        follow(page, page.get_by_role("link", name=paper, exact=True))
        for name, sides in (("Profile template", (1,)), ("Whole plan", (-1, 1))):
            lines = all_paths(printed(page, name))
            axis, rim = the_axis(lines), table(lines) - LINE_MM
            found = {round(x - axis, 1) for x in crossings(lines, rim)}
            for side in sides:
                assert any(abs(x - side * half_mm) <= NEAR_MM for x in found), (paper, name, found)
        base = printed(page, "Base outline")
        assert "Print at 100 %" in " ".join(base.text(n) for n in range(len(base.sizes_mm)))
        card = printed(page, "Bench card").text()
        assert piece.code in card
