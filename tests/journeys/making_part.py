"""From the clay to a glazed pot: steps of `test_whole_job`."""

from playwright.sync_api import Page, expect

from tests.browser import follow, go_to


def receive_clay(page: Page) -> None:
    go_to(page, "Clay room")
    page.get_by_role("link", name="Clay came", exact=True).click()
    page.get_by_label("Clay body").select_option(label="Grogged stoneware")
    page.get_by_role("spinbutton", name="Bags").fill("4")
    page.get_by_label("One bag weighs").fill("12.5")
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator("main")).to_contain_text("50.0 kg")


def hand_out(page: Page, section: str, code: str) -> None:
    """The list has the plan's figure already; one tap gives the clay."""
    go_to(page, "Clay room")
    page.get_by_role("link", name=section).first.click()
    row = page.locator("li", has_text=code)
    row.get_by_role("checkbox").check()
    page.get_by_role("button", name="Hand out to everybody ticked").click()
    expect(page.get_by_role("status")).to_be_visible()


def stiffen_and_wrap(page: Page) -> None:
    page.reload()
    open_pot(page)
    page.get_by_role("button", name="leather-hard").click()
    expect(page.locator(".lede")).to_contain_text("eather-hard")
    page.get_by_role("button", name="I wrapped it").click()
    expect(page.get_by_role("button", name="I unwrapped it")).to_be_visible()


def say_built(page: Page) -> None:
    page.get_by_role("button", name="Building has ended").click()
    expect(page.get_by_text("It waits for the greenware check")).to_be_visible()


def open_pot(page: Page) -> None:
    """From the student's path to the page of the pot."""
    follow(page, page.locator("a[href^='/pots/']:not([href*='/bench/'])").first)


def check_greenware(page: Page, code: str) -> None:
    go_to(page, "Today")
    follow(page, page.locator("a", has_text=code).first)
    if page.get_by_role("button", name="It is built").count() == 0:
        page.get_by_role("link", name="Greenware check").first.click()
    for label, value in {
        "Height, with everything on it": "19.4",
        "Width at the widest": "18.6",
        "Depth at the deepest": "18.5",
        "Thickest place": "1.2",
    }.items():
        page.get_by_label(label).fill(value)
    page.get_by_label("I can read the code in the base").check()
    page.get_by_role("button", name="It is built").click()
    expect(page.get_by_role("link", name="Dryness check")).to_be_visible()


def check_dryness(page: Page, code: str) -> None:
    page.goto(_root(page) + "/dryness/")
    page.get_by_label("Or type codes").fill(code)
    page.get_by_label("air dry", exact=False).first.check()
    page.get_by_role("button", name="Keep the check").click()
    expect(page.get_by_role("status")).to_be_visible()


def check_glaze(page: Page, code: str) -> None:
    go_to(page, "Classes")
    follow(page, page.locator("main a[href^='/classes/']").first)
    follow(page, page.locator("a", has_text=code).first)
    open_pot(page)
    page.get_by_role("link", name="Glaze check").click()
    page.get_by_label("River green").check()
    page.get_by_label("The foot is clean").check()
    page.get_by_label("neither too thick nor too thin").check()
    page.get_by_role("button", name="Keep the check").click()
    expect(page.locator(".lede")).to_contain_text("lazed")


def _root(page: Page) -> str:
    return "/".join(page.url.split("/")[:3])
