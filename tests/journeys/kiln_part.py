"""Two firings in a kiln: steps of `test_whole_job`."""

from datetime import timedelta
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser import follow, go_to
from tests.cast import today_there
from tests.studio.paper.measuring import Print

# Any hour, so that the journey can be made at any time of day.
KILN = {
    "Name": "Round kiln",
    "Shelf width": "52",
    "Shelf depth": "52",
    "Shelf thickness": "2",
    "Number of shelves": "4",
    "Usable height": "66",
    "Fires to at most": "1280",
    "May start from": "00:00",
    "May start until": "23:59",
    "May shut off from": "00:00",
    "May shut off until": "23:59",
}


def set_up(page: Page, confirms: str) -> None:
    go_to(page, "Kiln room")
    page.get_by_role("link", name="Add a kiln").first.click()
    for label, value in KILN.items():
        page.get_by_label(label).first.fill(value)
    page.get_by_label("Shelves are").select_option("round")
    page.get_by_label("Confirms the shut-off").select_option(label=confirms)
    page.get_by_role("button", name="Add it").click()
    expect(page.get_by_role("status")).to_be_visible()
    go_to(page, "Kiln room")
    page.get_by_role("link", name="Glazes").click()
    page.get_by_role("link", name="Add a glaze").first.click()
    page.get_by_label("Name").fill("River green")
    page.get_by_label("From cone").select_option("5")
    page.get_by_label("To cone").select_option("6")
    page.get_by_role("button", name="Add it").click()
    expect(page.get_by_role("status")).to_be_visible()


def fire(page: Page, program: str, code: str, in_days: int = 0) -> None:
    plan(page, program, in_days)
    page.get_by_role("link", name="The load").click()
    page.get_by_role("button", name="Fill with what is ready").click()
    expect(page.locator("main table", has_text=code)).to_be_visible()
    assert code in schedule_text(page, in_days)
    page.get_by_label("Why it fires part full").fill("The first pot of the class")
    page.get_by_role("button", name="I have lit it").click()
    page.get_by_role("link", name="Log and shut-off").click()
    page.get_by_label("Temperature").fill("85")
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator("table")).to_contain_text("85")
    page.get_by_label("I stand at the kiln").check()
    page.get_by_role("button", name="It is off").click()
    page.get_by_role("link", name="Unload it").click()
    page.get_by_role("textbox", name="Witness cone").fill("down")
    page.get_by_label("read below its unloading temperature").check()
    page.get_by_label("the witness cones say that it reached").check()
    page.get_by_role("button", name="It is unloaded").click()
    expect(page.get_by_role("status")).to_contain_text("The pots have moved on")


def plan(page: Page, program: str, in_days: int) -> None:
    go_to(page, "Kiln room")
    follow(page, page.get_by_role("link", name="Plan a firing"))
    choices = page.get_by_label("Program").locator("option")
    wanted = next(each for each in choices.all_text_contents() if each.startswith(program))
    page.get_by_label("Program").select_option(label=wanted)
    page.get_by_label("Date").fill((today_there() + timedelta(days=in_days)).isoformat())
    page.get_by_label("Lit at").fill("12:00")
    follow(page, page.get_by_role("button", name="Plan it"))
    if page.get_by_role("link", name="The load").count() == 0:
        follow(page, page.locator("a", has_text=program).last)


def schedule_text(page: Page, in_days: int) -> str:
    """What the print of the week says."""
    week = (today_there() + timedelta(days=in_days)).isoformat()
    root = "/".join(page.url.split("/")[:3])
    answer: Any = page.context.request.get(f"{root}/kilns/schedule/pdf/?week={week}")
    assert answer.headers["content-type"] == "application/pdf"
    read = Print(answer.body())
    return " ".join(read.text(page) for page in range(len(read.texts)))
