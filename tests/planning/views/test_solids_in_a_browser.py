"""The pot that is turned by hand, in a browser that draws in software."""

from io import BytesIO

import numpy as np
import pytest
from django.urls import reverse
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Locator, Page, expect

from planning.geometry.inputs import Outline
from planning.models import PlanVersion
from tests.browser import Windows
from tests.cast import School
from tests.chromium import PHONE
from tests.planning.work import a_piece_with_a_plan

pytestmark = pytest.mark.browser

NO_WEBGL = "HTMLCanvasElement.prototype.getContext = () => null"


@pytest.fixture
def plan(cast: School) -> PlanVersion:
    return a_piece_with_a_plan(cast, "A box", outline=Outline("rounded_square", 0.7, 0.1))


@pytest.fixture
def page(cast: School, plan: PlanVersion, windows: Windows) -> Page:
    return windows.signed_in(cast.student, PHONE).open(reverse("solid", args=[plan.pk]))


def turned(page: Page) -> Locator:
    pot = page.get_by_role("slider", name="Turn the pot")
    expect(pot).to_be_visible()
    return pot


def pixels(pot: Locator) -> NDArray[np.int16]:
    """What is on the screen, (height, width, 3), once it was drawn."""
    pot.page.evaluate(
        "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"
    )
    shot = Image.open(BytesIO(pot.screenshot())).convert("RGB")
    return np.asarray(shot, dtype=np.int16)


def clay(seen: NDArray[np.int16]) -> NDArray[np.bool_]:
    """Where it is dark and brown; paper, shadow and line are light or grey."""
    return np.asarray((seen[..., 0] < 160) & (seen[..., 0] > seen[..., 2] + 8))


def test_the_pot_is_drawn_in_clay_where_the_still_picture_stood(page: Page) -> None:
    still = page.get_by_role("img", name="The pot as planned")
    seen = pixels(turned(page))
    expect(still).to_be_hidden()
    share = clay(seen).mean()
    assert 0.15 < share < 0.6
    # Paper in the corners: no dark ground behind the pot.
    assert (seen[0, 0] > 240).all()
    # As high on the picture as the still one, which the server drew.
    rows = np.flatnonzero(clay(seen).any(axis=1))
    page.evaluate(
        """() => {
             document.querySelector("[data-solid-stage] svg").removeAttribute("hidden");
             document.querySelector("[data-solid-stage] canvas").hidden = true;
           }"""
    )
    drawn = clay(pixels(page.locator("[data-solid-stage]")))
    assert np.flatnonzero(drawn.any(axis=1))[[0, -1]] == pytest.approx(rows[[0, -1]], abs=4)


def test_dragging_sideways_turns_it_and_nothing_else_does(page: Page) -> None:
    pot = turned(page)
    # A finger that moves up or down scrolls the page.
    assert pot.evaluate("each => getComputedStyle(each).touchAction") == "pan-y"
    before = pixels(pot)
    assert np.array_equal(pixels(pot), before)
    box = pot.bounding_box()
    assert box is not None
    middle = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.move(*middle)
    page.mouse.down()
    page.mouse.move(middle[0] + box["width"] / 4, middle[1], steps=4)
    page.mouse.up()
    # A quarter of the width is an eighth of a turn; it began at 24°.
    expect(pot).to_have_attribute("aria-valuenow", "69")
    after = pixels(pot)
    assert (np.abs(after - before).max(axis=2) > 24).mean() > 0.03
    page.mouse.move(middle[0], middle[1])
    expect(pot).to_have_attribute("aria-valuenow", "69")
    assert np.array_equal(pixels(pot), after)


def test_the_arrow_keys_turn_and_tilt_it(page: Page) -> None:
    pot = turned(page)
    pot.focus()
    pot.press("ArrowRight")
    expect(pot).to_have_attribute("aria-valuetext", "turned by 34°")
    for _ in range(5):
        pot.press("ArrowLeft")
    expect(pot).to_have_attribute("aria-valuenow", "344")
    level = pixels(pot)
    pot.press("ArrowUp")
    assert not np.array_equal(pixels(pot), level)
    pot.press("Home")
    expect(pot).to_have_attribute("aria-valuetext", "turned by 0°")
    above = page.get_by_role("button", name="Look in from above")
    above.click()
    expect(above).to_have_attribute("aria-pressed", "true")


def test_without_webgl_the_still_picture_stays(
    cast: School, plan: PlanVersion, windows: Windows
) -> None:
    visitor = windows.signed_in(cast.student, PHONE)
    visitor.page.add_init_script(NO_WEBGL)
    page = visitor.open(reverse("solid", args=[plan.pk]))
    still = page.get_by_role("img", name="The pot as planned")
    expect(still).to_be_visible()
    page.wait_for_load_state("networkidle")
    expect(still).to_be_visible()
    expect(page.get_by_role("slider")).to_have_count(0)
    expect(page.get_by_text("Drag sideways")).to_be_hidden()
    assert clay(pixels(page.locator("[data-solid-stage]"))).mean() > 0.1
