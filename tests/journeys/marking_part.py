"""Marking, releasing and reading: steps of `test_whole_job`."""

from playwright.sync_api import Page, expect

from studio.people.models import User
from tests.browser import follow, go_to

COMMENT = "The shoulder does what you said it would. Blend the inside of the top rows too."
CRITERIA = 4


def mark(page: Page, student: User) -> None:
    """The best level of each criterion, by keyboard: the lowest is 1, so 4 is the best of four."""
    go_to(page, "Marking")
    follow(page, page.locator("main td a").first)
    page.get_by_role("link", name=student.name).click()
    criteria = page.locator("fieldset[data-criterion]")
    begin = page.get_by_role("button", name="Begin with the shipped rubric")
    expect(begin.or_(criteria.first)).to_be_visible()
    if begin.count():
        begin.click()
    expect(criteria).to_have_count(CRITERIA)
    expect(page.get_by_label("Use these keys")).to_be_visible()  # they are listened to now
    criteria.first.locator("input").first.focus()
    for _each in range(CRITERIA):
        page.keyboard.press("4")
    page.get_by_label("Comment").fill(COMMENT)
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.locator(".lede")).to_contain_text("16")


def release(page: Page) -> None:
    go_to(page, "Marking")
    follow(page, page.locator("main td a").first)
    page.get_by_role("link", name="Release marks").click()
    page.get_by_role("button", name="Release the ticked ones").click()
    expect(page.get_by_role("status")).to_be_visible()


def nothing_to_read(page: Page) -> None:
    """On the student's page, before the release."""
    expect(page.get_by_role("heading", name="Your pot")).to_be_visible()
    expect(page.get_by_text(COMMENT)).to_have_count(0)
    expect(page.get_by_text("Your marks are there")).to_have_count(0)


def read(page: Page) -> None:
    page.get_by_role("link", name="Your marks are there").click()
    expect(page.get_by_text(COMMENT)).to_be_visible()
    expect(page.locator(".result-level")).to_have_count(CRITERIA)
