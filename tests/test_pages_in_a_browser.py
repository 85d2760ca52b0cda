"""Every page of every role in a real browser, on a phone and on a laptop: no serious finding of
axe-core, nothing wider than the window, every field with its label, nothing in the console.

The quick suite looks once, on a phone, where things get in each other's way first, and at some
of a teacher's and a student's many pages; the long run opens all of them at both sizes.
"""

from collections.abc import Iterator
from importlib.resources import files

import pytest
from playwright.sync_api import ViewportSize

from tests.browser import Visitor, Windows
from tests.cast import School
from tests.chromium import LAPTOP, PHONE
from tests.routes import Line, pages_for
from tests.world import World, world

pytestmark = pytest.mark.browser

AXE = files("axe_playwright_python").joinpath("axe.min.js").read_text()
# `target-size` is WCAG 2.2's 24 px with its exceptions; off unless asked for.
RUN = """() => axe.run(document, {
    rules: {'target-size': {enabled: true}},
    resultTypes: ['violations'],
})"""
MEASURE = """() => {
    const said = [];
    const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
    if (wide > 0) said.push(`${wide} px wider than the window`);
    for (const field of document.querySelectorAll('input:not([type=hidden]), select, textarea')) {
        const label = field.labels?.length || field.ariaLabel || field.ariaLabelledByElements;
        if (!label) said.push(`a field without a label: ${field.name}`);
    }
    return said;
}"""


@pytest.fixture
def here(cast: School) -> World:
    return world(cast)


def test_nothing_keeps_anybody_out(here: World, windows: Windows) -> None:
    """Of every fourth page of a teacher, every second of a student; of technicians only the pages
    that no teacher has; those of heads look much alike. One test, since a world takes long to make.
    """
    looked_at = {
        "teacher": pages_for("teacher")[::4],
        "student": pages_for("student")[::2],
        "technician": without(pages_for("technician"), "teacher"),
        "nobody": pages_for("nobody"),
        "signed_out": pages_for("signed_out"),
    }
    problems = []
    for who, lines in looked_at.items():
        problems += all_obstacles(who, lines, [PHONE], here, windows)
    assert problems == []


@pytest.mark.slow
def test_nothing_keeps_anybody_out_of_any_page_at_either_size(
    here: World, windows: Windows
) -> None:
    """Who else has a page sees it as a teacher does, but for a button."""
    looked_at = {
        "teacher": pages_for("teacher"),
        "student": pages_for("student"),
        "head": without(pages_for("head"), "teacher"),
    }
    problems = []
    for who, lines in looked_at.items():
        problems += all_obstacles(who, lines, [PHONE, LAPTOP], here, windows)
    assert problems == []


def without(lines: list[Line], others: str) -> list[Line]:
    """Those that the others have no page for."""
    return [line for line in lines if line.expected[others] != "ok"]


def all_obstacles(
    who: str, lines: list[Line], sizes: list[ViewportSize], here: World, windows: Windows
) -> list[str]:
    visitor = windows.open() if who == "signed_out" else windows.signed_in(here.person(who))
    problems: list[str] = []
    for line in lines:
        visitor.open(line.address(here.things))
        for viewport in sizes:
            visitor.page.set_viewport_size(viewport)
            problems += [f"{line} at {viewport['width']}: {each}" for each in obstacles(visitor)]
    return problems


def obstacles(visitor: Visitor) -> Iterator[str]:
    page = visitor.page
    yield from page.evaluate(MEASURE)
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(AXE)
    for violation in page.evaluate(RUN)["violations"]:
        if violation["impact"] in {"serious", "critical"}:
            where = "; ".join(str(node["target"]) for node in violation["nodes"][:3])
            yield f"{violation['id']}: {violation['help']} ({where})"
