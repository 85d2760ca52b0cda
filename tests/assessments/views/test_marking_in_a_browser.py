"""Marking by keyboard, and nothing lost on leaving, in a real browser."""

import pytest
from playwright.sync_api import expect

from assessments.models import Marking
from planning.models import Piece
from tests.assessments.work import marks, the_rubric
from tests.browser import Windows
from tests.cast import School
from tests.planning.work import a_piece

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

# A route of Playwright's sees nothing of what a page sends while it is being left.
OFFLINE = "fetch = () => Promise.reject(new TypeError()); navigator.sendBeacon = () => false"


@pytest.fixture
def piece(cast: School) -> Piece:
    the_rubric(cast.studio)
    return a_piece(cast)


def totals(piece: Piece, person: object) -> list[str]:
    own = marks(piece).own(person)  # type: ignore[arg-type]
    return [f"{each.level.points:.0f}" for each in own.given.values() if each.level] if own else []


def test_a_pot_is_marked_with_five_keys(cast: School, piece: Piece, windows: Windows) -> None:
    page = windows.signed_in(cast.teacher).open(f"/marking/pieces/{piece.pk}/")
    for key in ("4", "3", "2", "1"):
        page.keyboard.press(key)
    page.keyboard.press("n")
    expect(page.get_by_role("heading", name="Bram Vos")).to_be_visible()
    assert sorted(totals(piece, cast.teacher)) == ["1", "2", "3", "4"]


def test_keys_type_in_a_field_and_can_be_turned_off(
    cast: School, piece: Piece, windows: Windows
) -> None:
    page = windows.signed_in(cast.teacher).open(f"/marking/pieces/{piece.pk}/")
    comment = page.get_by_label("Comment")
    comment.press_sequentially("n 4 next")
    expect(comment).to_have_value("n 4 next")
    page.get_by_label("Use these keys").uncheck()
    page.reload()
    expect(page.get_by_label("Use these keys")).not_to_be_checked()
    page.get_by_role("heading", level=1).click()
    page.keyboard.press("4")
    page.keyboard.press("n")
    expect(page.get_by_role("heading", name="Ode Amari")).to_be_visible()
    assert totals(piece, cast.teacher) == []


def test_what_is_chosen_and_typed_is_kept_without_a_button(
    cast: School, piece: Piece, windows: Windows
) -> None:
    window = windows.signed_in(cast.teacher)
    page = window.open(f"/marking/pieces/{piece.pk}/")
    page.keyboard.press("4")
    expect(page.locator("[data-state]")).to_contain_text("Kept at")
    page.get_by_label("Comment").fill("On the way out")
    window.open("/marking/")  # at once, before it was kept
    expect(page.get_by_role("heading", name="Marking")).to_be_visible()
    window.open(f"/marking/pieces/{piece.pk}/")
    expect(page.get_by_label("Comment")).to_have_value("On the way out")
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.get_by_role("heading", name="Ode Amari")).to_be_visible()
    assert Marking.objects.get().comment == "On the way out"


def test_what_no_connection_took_is_there_again(
    cast: School, piece: Piece, windows: Windows
) -> None:
    window = windows.signed_in(cast.teacher)
    page = window.open(f"/marking/pieces/{piece.pk}/")
    page.evaluate(OFFLINE)
    page.keyboard.press("3")
    page.get_by_label("Comment").fill("Typed in the cellar")
    expect(page.locator("[data-state]")).to_contain_text("no connection")
    window.open("/marking/")
    assert not Marking.objects.exists()
    window.open(f"/marking/pieces/{piece.pk}/")
    expect(page.get_by_label("Comment")).to_have_value("Typed in the cellar")
    expect(page.locator("[data-state]")).to_contain_text("Kept at")
    assert (Marking.objects.get().comment, totals(piece, cast.teacher)) == (
        "Typed in the cellar",
        ["3"],
    )


def test_two_windows_of_one_marker_lose_nothing(
    cast: School, piece: Piece, windows: Windows
) -> None:
    first, second = (windows.signed_in(cast.teacher) for _ in range(2))
    second.expected_statuses = {409}
    for window in (first, second):
        window.open(f"/marking/pieces/{piece.pk}/")
    first.page.keyboard.press("1")
    expect(first.page.locator("[data-state]")).to_contain_text("Kept at")
    second.page.keyboard.press("4")
    expect(second.page.locator("[data-state]")).to_contain_text("in another window")
    second.page.get_by_role("button", name="Keep", exact=True).click()
    expect(second.page.get_by_text("Kept meanwhile:")).to_be_visible()
    expect(second.page.locator("input[data-digit='4']").first).to_be_checked()
    second.page.get_by_role("button", name="Keep", exact=True).click()
    expect(second.page.get_by_text("Kept.", exact=True)).to_be_visible()
    assert totals(piece, cast.teacher) == ["4"]
