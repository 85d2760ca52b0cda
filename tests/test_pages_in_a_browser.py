"""Every page of every role in a real browser, on a phone and on a laptop: no serious finding of
axe-core, nothing wider than the window, every field with its label, nothing in the console.
"""

from collections.abc import Iterator
from importlib.resources import files

import pytest

from tests.browser import Visitor, Windows
from tests.cast import School
from tests.chromium import LAPTOP, PHONE
from tests.routes import Line, pages_for
from tests.world import world

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


@pytest.mark.parametrize(
    "who", ["head", "teacher", "technician", "student", "nobody", "signed_out"]
)
def test_nothing_keeps_anybody_out(who: str, cast: School, windows: Windows) -> None:
    """Of heads and technicians only the pages that no teacher has: the others look much alike."""
    assert all_obstacles(who, _own_pages(who), cast, windows) == []


@pytest.mark.slow
@pytest.mark.parametrize("who", ["head", "technician"])
def test_nothing_keeps_them_out_of_the_pages_of_teachers_either(
    who: str, cast: School, windows: Windows
) -> None:
    others = [line for line in pages_for(who) if line not in _own_pages(who)]
    assert all_obstacles(who, others, cast, windows) == []


def _own_pages(who: str) -> list[Line]:
    if who not in {"head", "technician"}:
        return pages_for(who)
    return [line for line in pages_for(who) if line.expected["teacher"] != "ok"]


def all_obstacles(who: str, lines: list[Line], cast: School, windows: Windows) -> list[str]:
    here = world(cast)
    visitor = windows.open() if who == "signed_out" else windows.signed_in(here.person(who))
    problems: list[str] = []
    for line in lines:
        visitor.open(line.address(here.things))
        for viewport in (PHONE, LAPTOP):
            visitor.page.set_viewport_size(viewport)
            problems += [f"{line} at {viewport['width']}: {each}" for each in obstacles(visitor)]
    return problems


def obstacles(visitor: Visitor) -> Iterator[str]:
    page = visitor.page
    yield from page.evaluate(MEASURE)
    page.evaluate(AXE)
    for violation in page.evaluate(RUN)["violations"]:
        if violation["impact"] in {"serious", "critical"}:
            where = "; ".join(str(node["target"]) for node in violation["nodes"][:3])
            yield f"{violation['id']}: {violation['help']} ({where})"
