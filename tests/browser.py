"""Debian's chromium, driven through Playwright: one browser a session, one context a test.

A page that logs an error, throws, loads from elsewhere or breaks its content policy fails the
test that opened it.
"""

import os
import shutil
from collections.abc import Iterator

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Locator,
    Page,
    Request,
    Response,
    ViewportSize,
    expect,
    sync_playwright,
)
from pytest_django.live_server_helper import LiveServer

from studio.people.models import User
from tests.cast import PASSWORD, signed_in
from tests.chromium import FLAGS, LAPTOP

# Generous, since other work may share the machine; nothing waits that long when all is well.
PATIENCE_MS = 60_000
expect.set_options(timeout=PATIENCE_MS)


def required() -> set[str]:
    """Tools without which tests fail rather than skip, named in COILCOURSE_REQUIRE."""
    return set(os.environ.get("COILCOURSE_REQUIRE", "").replace(" ", "").split(","))


def chromium_path() -> str:
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        missing = "no chromium here: apt-get install chromium"
        if "browser" in required():
            pytest.fail(missing)
        pytest.skip(missing)
    return path


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    path = chromium_path()
    # Playwright's loop runs in this thread, which Django takes for async code.
    before = os.environ.get("DJANGO_ALLOW_ASYNC_UNSAFE")
    with sync_playwright() as playwright:
        os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        yield browser
        browser.close()
    if before is None:
        del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


def follow(page: Page, leading: Locator) -> None:
    """Click what leads to another page, and wait for it: what is asked next is asked there."""
    with page.expect_navigation():
        leading.click()


def swipe(page: Page, start: tuple[float, float], right: float, down: float = 0) -> None:
    """A finger that goes down on the screen, moves so many pixels and is lifted."""
    touch = page.context.new_cdp_session(page)

    def finger(kind: str, *at: tuple[float, float]) -> None:
        points = [{"x": x, "y": y} for x, y in at]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    finger("touchStart", start)
    for part in range(1, 9):
        finger("touchMove", (start[0] + right * part / 8, start[1] + down * part / 8))
    finger("touchEnd")
    touch.detach()


def go_to(page: Page, name: str) -> None:
    """One of the pages in the header."""
    header = page.get_by_role("navigation", name="Pages")
    follow(page, header.get_by_role("link", name=name, exact=True))


class Visitor:
    """A browser window for one person, which remembers everything that went wrong in it."""

    def __init__(self, browser: Browser, site: str, viewport: ViewportSize, **options: object):
        self.site = site
        self.complaints: list[str] = []
        self.expected_statuses: set[int] = set()
        self.context: BrowserContext = browser.new_context(
            viewport=viewport,
            reduced_motion="reduce",
            locale="en-GB",
            **options,  # type: ignore[arg-type]
        )
        self.context.set_default_timeout(PATIENCE_MS)
        self.page = self.context.new_page()
        self.page.on("console", self._heard)
        self.page.on("pageerror", lambda error: self.complaints.append(f"thrown: {error}"))
        self.page.on("request", self._asked)
        self.page.on("response", self._answered)

    def _heard(self, message: ConsoleMessage) -> None:
        # What a refused request logs is judged by its status.
        if message.type == "error" and "Failed to load resource" not in message.text:
            self.complaints.append(f"console: {message.text}")

    def _asked(self, request: Request) -> None:
        if not request.url.startswith((self.site, "blob:", "data:", "about:")):
            self.complaints.append(f"asked elsewhere: {request.url}")

    def _answered(self, response: Response) -> None:
        if response.status >= 400 and response.status not in self.expected_statuses:
            self.complaints.append(f"{response.status}: {response.url}")

    def open(self, address: str) -> Page:
        self.page.goto(self.site + address)
        return self.page

    def sign_in(self, person: User) -> Page:
        """Through the form, as a person does."""
        studio = f"{person.studio.slug}/" if person.studio else ""
        page = self.open(f"/sign-in/{studio}")
        page.get_by_label("Sign-in name").fill(person.username)
        page.get_by_label("Password").fill(PASSWORD)
        page.get_by_role("button", name="Sign in").click()
        expect(page.get_by_role("button", name="Sign out")).to_be_visible()
        return page

    def close(self) -> None:
        self.context.close()
        assert self.complaints == []


class Windows:
    """Opens windows, and closes them all with the test."""

    def __init__(self, browser: Browser, site: str) -> None:
        self.browser, self.site = browser, site
        self.opened: list[Visitor] = []

    def open(self, viewport: ViewportSize = LAPTOP, **options: object) -> Visitor:
        self.opened.append(Visitor(self.browser, self.site, viewport, **options))
        return self.opened[-1]

    def signed_in(
        self, person: User, viewport: ViewportSize = LAPTOP, **options: object
    ) -> Visitor:
        """Signed in without the form, where signing in is not what is tested."""
        cookie = signed_in(person).cookies["sessionid"]
        visitor = self.open(viewport, **options)
        visitor.context.add_cookies(
            [{"name": "sessionid", "value": cookie.value, "url": self.site}]
        )
        return visitor


@pytest.fixture
def windows(chromium: Browser, live_server: LiveServer) -> Iterator[Windows]:
    """Windows on the running service. The database is emptied afterwards."""
    opened = Windows(chromium, live_server.url)
    yield opened
    for visitor in opened.opened:
        visitor.close()
