"""A firing's page, measured on the paper: how many pages it takes, its maps to scale, its codes in
full size, and nothing over anything else.
"""

import re
from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np
import pytest

from studio.kilns.sheets.firing import FiringPrint, firing_sheets
from studio.kilns.sheets.maps import codes_fit, layer_map
from studio.paper.pages import A4, LETTER, Align, Face, Page, Shape, Sheet, Words
from studio.paper.pdf import pdf
from studio.paper.text import width_mm
from tests.studio.paper.measuring import MM, Print

from .prints import SHELF_MM, a_firing, a_load

PAPERS = pytest.mark.parametrize("page", [A4, LETTER], ids=["a4", "letter"])


def sheets_of(firing: FiringPrint, page: Page) -> list[Sheet]:
    return firing_sheets(firing, page, "A school · printed Sunday 29 November 2026")


def printed(sheets: Sequence[Sheet], page: Page) -> Print:
    return Print(pdf(page, list(sheets), title="Trial"))


def words_of(sheet: Sheet) -> Iterator[Words]:
    return (mark for mark in sheet.marks if isinstance(mark, Words))


def box_of(words: Words) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of the letters, capitals high."""
    wide = width_mm(words.text, words.size_pt, words.face)
    left = words.x_mm - {Align.LEFT: 0.0, Align.CENTRE: wide / 2, Align.RIGHT: wide}[words.align]
    return left, words.y_mm - 0.67 * words.size_pt / 72 * 25.4, left + wide, words.y_mm


def codes_on_maps(sheet: Sheet) -> list[Words]:
    """Centred and bold; in the list they begin at their box."""
    return [
        each for each in words_of(sheet) if each.align == Align.CENTRE and each.face == Face.BOLD
    ]


def scale_of(read: Print, page: int = 0) -> int:
    found = re.search(r"(\d+) times smaller \(1 : (\d+)\)", read.text(page))
    assert found is not None
    assert found[1] == found[2]
    return int(found[1])


USUAL = {
    "two layers": a_load(2, 10),
    "three layers": a_load(3, 8),
    "four layers": a_load(4, 6),
    "one shelf": a_load(1, 7, 80, 300),
}


@PAPERS
@pytest.mark.parametrize("name", USUAL)
def test_a_usual_firing_is_on_one_page_with_codes_of_full_size(name: str, page: Page) -> None:
    """Eight segments, fourteen hours, three classes. 12 pt: capitals of 2.8 mm, 16 minutes of arc
    at 600 mm (ISO 9241-303, from memory).
    """
    load = USUAL[name]
    [sheet] = sheets_of(a_firing(load), page)
    assert {each.size_pt for each in codes_on_maps(sheet)} == {12.0}
    on_maps = "".join(sorted("".join(each.text for each in codes_on_maps(sheet))))
    codes = [pot.code for layer in load.layers for pot in layer.pots]
    assert on_maps == "".join(sorted("".join(codes)))
    read = printed([sheet], page)
    assert all(code in read.text() for code in codes)
    assert "page 1 of 1" in read.text()


@PAPERS
def test_twenty_hours_of_a_slow_bisque_with_two_layers_are_on_one_page(page: Page) -> None:
    assert len(sheets_of(a_firing(a_load(2, 7), segments=6, hours=20), page)) == 1


@PAPERS
@pytest.mark.parametrize("name", USUAL)
def test_nothing_is_printed_over_anything_else_or_off_the_page(name: str, page: Page) -> None:
    [sheet] = sheets_of(a_firing(USUAL[name]), page)
    boxes = [(each.text, box_of(each)) for each in words_of(sheet)]
    for text, (left, top, right, bottom) in boxes:
        # 6.35 mm: a quarter of an inch that many printers leave white.
        assert left > 6.35, text
        assert top > 6.35, text
        assert right < page.width_mm - 6.35, text
        assert bottom < page.height_mm - 6.35, text
    for (one, a), (other, b) in combinations(boxes, 2):
        apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
        assert apart, (one, other)


@PAPERS
def test_a_map_and_its_bar_are_as_long_as_the_scale_on_the_page_says(page: Page) -> None:
    """Measured on the picture of the page: the shelf's own ring, left to right and top to bottom,
    and the bar for 10 cm.
    """
    load = a_load(1, 1, 180, 400)
    read = printed(sheets_of(a_firing(load), page), page)
    scale = scale_of(read)
    dark = read.dark()
    code = read.find(load.layers[0].pots[0].code)
    row = int((code.baseline_mm - 1.4) / MM)
    column = int((code.left_mm + code.right_mm) / 2 / MM)
    # Outwards from between the pot, 90 mm from its middle, and the shelf's edge.
    start = int(140 / scale / MM)
    right, left = dark[row, column + start :], dark[row, column - start :: -1]
    down, up = dark[row + start :, column], dark[row - start :: -1, column]
    for one, other in ((left, right), (up, down)):
        edges = int(one.argmax()) + int(other.argmax()) + 2 * start
        assert edges * MM == pytest.approx(400 / scale - 0.5, abs=0.4)
    said = read.find("10 cm")
    bar = np.flatnonzero(dark[int((said.baseline_mm - 1.1) / MM), int((said.right_mm + 1) / MM) :])
    run = bar[: np.flatnonzero(np.diff(bar, append=bar[-1] + 99) > 1)[0] + 1]
    assert len(run) * MM == pytest.approx(100 / scale + 0.45, abs=0.3)


def test_all_layers_of_a_firing_have_one_scale_and_pots_keep_to_their_shelf() -> None:
    load = a_load(3, 8)
    [sheet] = sheets_of(a_firing(load), A4)
    scale = scale_of(printed([sheet], A4))
    rings = [
        [max(at) - min(at) for at in zip(*mark.points_mm, strict=True)]
        for mark in sheet.marks
        if isinstance(mark, Shape) and mark.width_mm == 0.5 and len(mark.points_mm) == 60
    ]
    assert len(rings) == 3
    assert np.allclose(rings, SHELF_MM / scale, rtol=0.01)


@PAPERS
def test_a_very_full_load_carries_on_with_its_maps_onto_a_page_headed_so(page: Page) -> None:
    """Two shelves of 37 little pots: at the scale of one page codes of 12 pt hide them."""
    load = a_load(2, 37, 60, 500)
    first, second = sheets_of(a_firing(load), page)
    assert not codes_on_maps(first)
    assert {each.size_pt for each in codes_on_maps(second)} == {12.0}
    read = printed([first, second], page)
    assert "Round kiln, Tuesday 1 December 2026, continued" in read.text(1)
    assert "page 1 of 2" in read.text(0)
    assert "page 2 of 2" in read.text(1)
    scale_of(read, 1)


@PAPERS
@pytest.mark.parametrize(
    ("segments", "hours", "layers"), [(64, 14, 2), (8, 90, 2), (64, 120, 6)], ids=str
)
def test_whatever_is_too_long_goes_on_and_nothing_is_lost(
    segments: int, hours: int, layers: int, page: Page
) -> None:
    load = a_load(layers, 30, 70, 480)
    notes = ["A note of four hundred letters. " * 12] * 2
    firing = a_firing(load, segments=segments, hours=hours, notes=notes)
    sheets = sheets_of(firing, page)
    words = [each for sheet in sheets for each in words_of(sheet)]
    assert all(6 < each.y_mm < page.height_mm - 6 for each in words)
    texts = [each.text for each in words]
    assert sum(text in {each.target for each in firing.segments} for text in texts) >= segments
    assert len([t for t in texts if re.fullmatch(r"\d\d:00", t)]) >= hours
    # Codes that stand in two lines on a map stand whole in the list.
    for layer in load.layers:
        for pot in layer.pots:
            assert pot.code in texts


def test_an_empty_kiln_and_an_empty_shelf_say_so() -> None:
    nothing = a_load(0, 0)
    [sheet] = sheets_of(a_firing(nothing), A4)
    assert "Nothing is packed yet." in printed([sheet], A4).text()
    [sheet] = sheets_of(a_firing(a_load(2, 0)), A4)
    assert printed([sheet], A4).text().count("an empty shelf") == 2


def test_codes_that_would_meet_give_way_and_stay_with_their_pots() -> None:
    """Pots 120 mm apart, as near as a hexagon: at 1 : 15 rows are 6.9 mm apart, two lines of a
    code with their ground 7.3 mm high.
    """
    load, scale = USUAL["four layers"], 15
    layer = load.layers[0]
    of_first = {f"{pot.code.partition('-')[0]}-": pot for pot in layer.pots}
    marks = layer_map(load, layer, scale, (100.0, 100.0))
    words = [each for each in marks if isinstance(each, Words) and each.text in of_first]
    assert len(words) == len(of_first) == 6
    ups = [each.y_mm + of_first[each.text].y_mm / scale for each in words]
    assert max(ups) - min(ups) > 0.2
    for each in words:
        pot = of_first[each.text]
        assert abs(each.x_mm - 100 - pot.x_mm / scale) < 0.31 * 110 / scale
    assert codes_fit(load, scale)
    assert not codes_fit(load, 20)
