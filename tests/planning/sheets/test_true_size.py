"""Every length on a true-size page is that of the pot, to 0.1 mm, read from the PDF itself.

The pots are ellipses of revolution, so that half-widths are known in closed form.
"""

from dataclasses import replace

import numpy as np
import pytest

from planning.sheets.profiles import profile_template
from planning.sheets.tiles import tiling_of, true_size_sheets
from studio.paper.pages import WITH_LARGE_PAGES
from studio.paper.pdf import pdf
from tests.studio.paper.measuring import Print

from .joined import all_paths, joined, registers
from .pots import (
    BIG,
    CM,
    EVERY_MM,
    HEAD,
    KINDS,
    LEAF,
    PAPERS,
    POTS,
    SMALL,
    drawing_of,
    globe,
    printed,
)
from .vectors import Path, paths, short_day, text_boxes

NEAR_MM = 0.1
CUT_MM = 0.5
# Along each edge: common practice, no source.
UNPRINTED_MM = 6.0


def cut_lines(found: list[Path]) -> list[Path]:
    return [path for path in found if abs(path.width - CUT_MM) < 0.01]


def levels(found: list[Path]) -> list[float]:
    """Where thin level lines that begin at the axis lie, the same line of two pages once."""
    axis = the_axis(found)
    level = sorted(
        float(path.points[0, 1])
        for path in found
        if path.is_level
        and abs(path.width - 0.15) < 0.01
        and abs(path.points[:, 0].min() - axis) < 0.01
    )
    return [y for y, before in zip(level, [-1e9, *level], strict=False) if y - before > 0.02]


def table(found: list[Path]) -> float:
    """The lowest heavy level line."""
    return max(float(path.points[0, 1]) for path in cut_lines(found) if path.is_level)


def crossings(found: list[Path], y: float) -> list[float]:
    """Where the side of the pot crosses a level: x, from all its pieces."""
    places = []
    for path in cut_lines(found):
        if path.is_level or len(path.points) < 10:
            continue
        over = path.points[:, 1] - y
        for at in np.flatnonzero(over[:-1] * over[1:] <= 0):
            (x1, y1), (x2, y2) = path.points[at : at + 2]
            places.append(float(x1 if y1 == y2 else x1 + (x2 - x1) * (y - y1) / (y2 - y1)))
    return places


def the_axis(found: list[Path]) -> float:
    """The dashed upright line that reaches below the table."""
    y = table(found)
    return next(
        float(path.points[0, 0])
        for path in found
        if abs(path.width - 0.15) < 0.01
        and float(np.ptp(path.points[:, 0])) < 1e-4
        and path.box[3] > y + 4
        and path.length > 5
    )


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", POTS)
@pytest.mark.parametrize("kind", KINDS)
class TestEveryPage:
    def test_it_stays_within_what_a_printer_reaches(self, kind: str, name: str, paper: str) -> None:
        read = printed(name, kind, paper)
        for page, (wide, high) in enumerate(read.sizes_mm):
            assert sorted((wide, high)) == pytest.approx(
                sorted((WITH_LARGE_PAGES[paper].width_mm, WITH_LARGE_PAGES[paper].height_mm)),
                abs=0.01,
            )
            boxes = [path.box for path in paths(read, page)] + text_boxes(read, page)
            assert min(box[0] for box in boxes) >= UNPRINTED_MM
            assert min(box[1] for box in boxes) >= UNPRINTED_MM
            assert max(box[2] for box in boxes) <= wide - UNPRINTED_MM
            assert max(box[3] for box in boxes) <= high - UNPRINTED_MM

    def test_both_bars_are_true(self, kind: str, name: str, paper: str) -> None:
        read = printed(name, kind, paper)
        for page in range(len(read.sizes_mm)):
            bars = [path for path in paths(read, page) if abs(path.width - 0.3) < 0.01]
            lengths = {round(path.length, 2) for path in bars if path.is_level}
            assert {100.0, 101.6} <= lengths  # 4 in, 25.4 mm each by the agreement of 1959
            assert "Print at 100 %" in read.text(page)
            for said in ("100 mm", "4 in", "K7-3F · Ode A. · Period 3"):
                assert said in read.text(page)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", POTS)
class TestTheTemplate:
    def test_its_height_lines_and_half_widths_are_the_pot_s(self, name: str, paper: str) -> None:
        pot = POTS[name]
        found = all_paths(printed(name, "template", paper))
        ground, axis = table(found), the_axis(found)
        heights = [ground - y for y in levels(found)]
        between = list(np.arange(EVERY_MM, pot.height - 1e-6, EVERY_MM))
        assert sorted(heights) == pytest.approx(between, abs=NEAR_MM)
        for height in [*between, *np.linspace(0.01, pot.height - 0.01, 97)]:
            places = crossings(found, ground - height)
            assert places, f"no cutting line at {height} mm"
            half = pot.half_width(height)
            assert [x - axis for x in places] == pytest.approx([half] * len(places), abs=NEAR_MM)

    def test_the_outer_piece_stands_on_the_table_and_ends_at_the_rim(
        self, name: str, paper: str
    ) -> None:
        pot = POTS[name]
        found = all_paths(printed(name, "template", paper))
        uprights = [
            path
            for path in cut_lines(found)
            if len(path.points) == 2 and float(np.ptp(path.points[:, 0])) < 1e-4
        ]
        ground = table(found)
        top = min(path.box[1] for path in uprights) + CUT_MM / 2
        assert ground - top == pytest.approx(pot.height, abs=NEAR_MM)
        assert max(path.box[3] for path in uprights) - CUT_MM / 2 == pytest.approx(ground, abs=0.01)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", POTS)
def test_the_whole_plan_has_both_sides_as_drawn(name: str, paper: str) -> None:
    pot = POTS[name]
    found = all_paths(printed(name, "whole", paper))
    ground, axis = table(found), the_axis(found)
    for height in np.arange(EVERY_MM, pot.height - 1e-6, EVERY_MM):
        x = np.array(crossings(found, ground - height)) - axis
        off = pot.inputs.profile[0].left_mm - pot.inputs.profile[0].half_mm
        half = pot.half_width(height)
        left, right = x[x < 0], x[x > 0]
        assert left == pytest.approx(-half - off, abs=NEAR_MM)
        assert right == pytest.approx(half - off, abs=NEAR_MM)
        assert len(left)
        assert len(right)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", POTS)
def test_the_base_outline_is_as_wide_and_as_deep_as_the_foot(name: str, paper: str) -> None:
    """A lens of two equal arcs is as deep as its ratio says, tip to tip as wide as the foot."""
    pot = POTS[name]
    found = cut_lines(all_paths(printed(name, "base", paper)))
    points = np.concatenate([path.points for path in found])
    wide, deep = np.ptp(points, axis=0)
    foot = 2 * pot.half_width(0)
    assert wide == pytest.approx(foot, abs=NEAR_MM)
    assert deep == pytest.approx(foot * pot.inputs.outline.depth_ratio, abs=NEAR_MM)


def test_row_tops_are_ticked_where_the_rows_end() -> None:
    """A tick crosses the side at the row's height; a dated row's tick is longer."""
    found = all_paths(printed("big", "template", "a3"))
    ground, axis = table(found), the_axis(found)
    ticks = [
        path
        for path in found
        if len(path.points) == 2
        and path.length in (pytest.approx(7, abs=0.01), pytest.approx(12, abs=0.01))
        and path.width > 0.18
    ]
    tops = []
    for path in ticks:
        inner, outer = path.points
        on_side = inner + (outer - inner) * 2.0 / path.length
        tops.append(ground - on_side[1])
        assert on_side[0] - axis == pytest.approx(BIG.half_width(tops[-1]), abs=NEAR_MM)
    expected = [row.height_mm for row in BIG.listed.rows]
    assert sorted(set(np.round(tops, 3))) == pytest.approx(sorted(expected), abs=NEAR_MM)
    long = [path for path in ticks if path.length > 10]
    assert len(long) >= len(BIG.listed.reached)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("kind", KINDS)
def test_pages_go_together_in_one_way_and_cover_the_drawing(kind: str, paper: str) -> None:
    read = printed("big", kind, paper)
    count = len(read.sizes_mm)
    corners = joined(read)
    if count == 1:
        assert registers(read, 0) == {}
        return
    shown = [number for page in range(count) for number in registers(read, page)]
    assert {shown.count(number) for number in shown} == {2}
    # What each page shows lies on the drawing's own lines: the contour is whole.
    found = [
        Path(path.points + corners[page], path.width)
        for page in range(count)
        for path in paths(read, page)
        if abs(path.width - CUT_MM) < 0.01
    ]
    points = np.concatenate([path.points for path in found])
    box = drawing_of("big", kind).box
    assert np.ptp(points[:, 1]) <= box.height + 0.01
    assert np.ptp(points[:, 0]) <= box.width + 0.01
    for page in range(count):
        assert f"{count} pages" in read.text(page)
        assert "Trim each along its dashed lines" in read.text(page)


def test_pages_are_numbered_row_and_column() -> None:
    read = printed("big", "whole", "a4")
    titles = [read.text(page) for page in range(len(read.sizes_mm))]
    wanted = [f"page {row}/{column}" for row in (1, 2, 3, 4) for column in (1, 2)]
    assert [want in title for want, title in zip(wanted, titles, strict=True)] == [True] * 8


def test_a_small_pot_needs_one_page_and_no_crosses() -> None:
    read = printed("small", "template", "a4")
    assert len(read.sizes_mm) == 1
    assert registers(read, 0) == {}
    assert "Trim" not in read.text()


def test_a_template_of_24_cm_fits_a_page_of_a4_under_three_lines_of_words() -> None:
    """ISO 216: A4 is 297 mm high."""
    pot = globe(240, 180)
    drawing = profile_template(pot.made, pot.marks, CM, view="front", name="K7-3F Ode A.")
    head = replace(HEAD, how="What to do with it. " * 18)
    tiling = tiling_of(drawing, head, WITH_LARGE_PAGES["a4"])
    assert tiling.is_one
    assert tiling.page.height_mm == 297


def test_a_pot_that_is_not_round_has_a_template_of_its_depth_too() -> None:
    found = all_paths(printed("leaf", "template-side", "a3"))
    ground, axis = table(found), the_axis(found)
    for height in (20.0, 110.0, 200.0):
        half = LEAF.half_width(height) * LEAF.inputs.outline.depth_ratio
        places = [x - axis for x in crossings(found, ground - height)]
        assert places == pytest.approx([half] * len(places), abs=NEAR_MM)
        assert places


def test_the_front_mark_is_above_the_middle_and_hours_go_round_clockwise() -> None:
    read = printed("small", "base", "a4")
    middle = read.find("K7-3F Ode")
    x = (read.find("12 o’clock").left_mm + read.find("12 o’clock").right_mm) / 2
    assert read.find("front, 12").baseline_mm < middle.baseline_mm
    assert _hour(read, 9) < x < _hour(read, 3)


def _hour(read: Print, hour: int) -> float:
    """Where the number of an hour stands that lies level with the middle of the base."""
    outline = max(cut_lines(paths(read)), key=lambda path: len(path.points))
    left, top, right, bottom = outline.box
    level = (top + bottom) / 2
    text, high = read.texts[0], read.sizes_mm[0][1]
    places = [
        ((box[0] + box[2]) / 2 / 72 * 25.4)
        for number in range(text.count_chars())
        for box in [text.get_charbox(number)]
        if text.get_text_range(number, 1) == str(hour)
        and abs(high - (box[1] + box[3]) / 2 / 72 * 25.4 - level) < 3
    ]
    outside: list[float] = [x for x in places if x < left or x > right]
    assert len(outside) == 1
    return outside[0]


def test_the_foot_ring_lies_inside_by_its_width() -> None:
    found = paths(printed("leaf", "base", "a4"))
    outer = max(cut_lines(found), key=lambda path: path.length)
    inner = max((p for p in found if abs(p.width - 0.25) < 0.01), key=lambda path: path.length)
    deep = [float(np.ptp(path.points[:, 1])) for path in (outer, inner)]
    ring = LEAF.inputs.foot_ring
    assert ring is not None
    assert deep[0] - deep[1] == pytest.approx(2 * ring.width_mm, abs=NEAR_MM)


def test_heights_and_days_can_be_read_out_of_the_print() -> None:
    read = printed("small", "template", "a3")
    said = read.text()
    for words in ("rim 18.0 cm", "2.0 cm", "axis", "table", "Tue 1 Dec", "12.0 cm wide"):
        assert words in said, said
    last = SMALL.listed.reached[-1]
    rim = read.find("rim 18.0").baseline_mm
    assert read.find(f"{last.row} · {short_day(last.on)}").baseline_mm <= rim + 0.1


def test_a_neck_too_narrow_for_words_has_none() -> None:
    """No word may stand on the cutting line: 30 mm wide leave no room for "3.0 cm wide"."""
    read = printed("narrow", "template", "a4")
    said = read.text()
    assert "rim 12.0 cm" in said
    assert "wide" not in said


def test_a_long_name_makes_the_title_smaller() -> None:
    head = replace(HEAD, whose="K7-3F · Maximiliana-Theodora F. · Grade 11, rotating day B, late")
    page = WITH_LARGE_PAGES["letter"]
    sheets = true_size_sheets(drawing_of("small", "template"), head, page)
    read = Print(pdf(page, sheets, title="A drawing"))
    assert "A drawing" in read.text()
    assert head.whose in read.text()
    assert read.find("A drawing").right_mm < read.find("K7-3F · Max").left_mm


def test_words_over_a_joint_are_whole_on_some_page() -> None:
    """Heights and days of a pot over eight pages, each found whole."""
    read = printed("big", "whole", "a4")
    said = " ".join(read.text(page) for page in range(len(read.sizes_mm)))
    for row in BIG.listed.rows:
        assert f"{row.row}" in said
    for height in range(2, 48, 2):
        assert f"{height}.0 cm" in said
