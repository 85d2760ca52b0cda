"""The bench card says of every row what to roll, and its code opens the pot's page."""

from dataclasses import replace

import cv2
import numpy as np
import pypdfium2.raw as pdfium
import pytest

from planning.rows.choices import Choices
from planning.rows.rows import row_list
from planning.sheets.bench_card import TWO_PEOPLE_G, BenchPaper, bench_card_sheets
from studio.paper.pages import WITH_LARGE_PAGES
from studio.paper.pdf import pdf
from studio.units.scales import Units
from studio.web.shown import seam_hour_text
from tests.studio.paper.measuring import Print

from .pots import BIG, CM, LEAF, PAPERS, SMALL, Centimetres, Pot, globe
from .vectors import paths, short_day, text_boxes

ADDRESS = "https://studio.example/pieces/0b8c5c4e-8d4b-4b7c-9d0c-6f6f1a3d2c11/"


def paper_of(pot: Pot, **changed: object) -> BenchPaper:
    made = BenchPaper(
        code="K7-3F",
        whose="Ode A. · Period 3",
        state="plan 2, approved Tue 1 Dec",
        footer="Brookfield School studio",
        address=ADDRESS,
        listed=pot.listed,
        outline=pot.figures.base_outline,
        round=pot.made.surface.is_round,
        base_mm=pot.made.base_mm,
        corner_coil_mm=pot.inputs.corner_coil_mm,
        pot_wet_g=pot.figures.clay.pot_wet_g,
        issue_g=pot.figures.clay.issue_g,
        tolerance=(5.0, 3.0),
        notes=["Pause after row 7 until the wall below has stiffened."],
    )
    return replace(made, **changed)  # type: ignore[arg-type]


def printed(paper: BenchPaper, on: str = "a4", units: Units = CM) -> Print:
    page = WITH_LARGE_PAGES[on]
    return Print(pdf(page, bench_card_sheets(paper, page, units), title="Bench card"))


def text(read: Print) -> str:
    return " ".join(read.text(page) for page in range(len(read.sizes_mm)))


@pytest.mark.parametrize("pot", [SMALL, BIG, LEAF], ids=["small", "big", "leaf"])
def test_every_row_stands_in_a_line_with_height_width_coil_and_clay(pot: Pot) -> None:
    said = text(printed(paper_of(pot)))
    for row in pot.listed.rows:
        depth = "" if pot.made.surface.is_round else f"{row.depth_mm / 10:.1f} "
        length = f"{row.coil_length_mm / 10:.1f}"
        start = f"{row.row} {row.height_mm / 10:.1f} {row.front_mm / 10:.1f} {depth}{length}"
        assert f"{start} {row.coil_g:.0f} " in said


def test_rows_of_several_coils_say_how_many_and_where_each_seam_lies() -> None:
    pot = globe(200, 160, longest_coil_mm=300.0)
    said = text(printed(paper_of(pot)))
    row = next(each for each in pot.listed.rows if each.coils == 2)
    seams = " · ".join(seam_hour_text(each) for each in row.seams)
    assert f"2 × {row.coil_length_mm / 10:.1f} {row.coil_g:.0f} {seams}" in said


def test_after_each_lesson_it_says_the_day_and_asks_what_was_measured() -> None:
    said = text(printed(paper_of(SMALL)))
    for reached in SMALL.listed.reached[:-1]:
        row = SMALL.listed.rows[reached.row - 1]
        band = f"By {short_day(reached.on)}: row {reached.row}"
        assert f"{band} height {row.height_mm / 10:.1f} cm width {row.front_mm / 10:.1f} cm" in said
    last = SMALL.listed.reached[-1]
    assert f"By {short_day(last.on)}: the rim height 18.0 cm" in said


def test_rests_between_lessons_and_the_first_check_have_lines_of_their_own() -> None:
    """No dates: one rest of a 48 cm wall at least, and the height after three rows."""
    listed = row_list(BIG.made, Choices(14, 1.95))
    said = text(printed(paper_of(BIG, listed=listed)))
    for rest in listed.rests:
        assert f"Rest after row {rest.after_row} until the wall below has stiffened" in said
    assert listed.rests
    assert f"Check the wall height {listed.rows[2].height_mm / 10:.1f} cm" in said


@pytest.mark.parametrize("on", ["a4", "letter"])
def test_the_rows_of_a_usual_pot_stand_on_the_first_page(on: str) -> None:
    """24 cm in coils of 14 mm: thirteen rows in five lessons (common practice, no source)."""
    pot = globe(240, 180)
    assert (len(pot.listed.rows), len(pot.listed.reached)) == (13, 5)
    read = printed(paper_of(pot), on)
    assert f"By {short_day(pot.listed.reached[-1].on)}: the rim" in read.text(0)
    assert all("Seam at" not in read.text(page) for page in range(1, len(read.sizes_mm)))


def test_blends_name_the_rows_that_are_worked_into_one_wall() -> None:
    said = text(printed(paper_of(SMALL)))
    first = 1
    for row in SMALL.listed.rows:
        if row.blend:
            rows = f"{first}–{row.row}" if first < row.row else str(row.row)
            assert f"blend {rows}" in said
            first = row.row + 1


def test_a_heavy_pot_is_lifted_by_two_and_dust_is_wiped_up_wet() -> None:
    light, heavy = (
        text(printed(paper_of(SMALL, pot_wet_g=grams)))
        for grams in (TWO_PEOPLE_G - 1, TWO_PEOPLE_G)
    )
    assert "lift it with two people, on its board" not in light
    assert "weighs about 10.0 kg wet: lift it with two people, on its board" in heavy
    for said in (light, heavy):
        assert "wet sponge" in said
        assert "Local rules and the school’s own come first" in said


def test_it_names_the_piece_its_plan_and_what_to_mind() -> None:
    read = printed(paper_of(SMALL))
    for words in ("K7-3F", "Ode A. · Period 3 · plan 2, approved Tue 1 Dec", "Pause after row 7"):
        assert words in text(read)
    assert "0.5 cm, or 3 % of the width" in text(read)
    without = text(printed(paper_of(SMALL, corner_coil_mm=0.0, notes=())))
    assert "worked into the joint" in text(read)
    assert "worked into the joint" not in without
    assert "Mind" not in without


def test_a_phone_reads_its_code() -> None:
    """By OpenCV's reader, which shares nothing with what drew it."""
    grey = np.ascontiguousarray(printed(paper_of(SMALL)).grey())
    found, _points, _straight = cv2.QRCodeDetectorAruco().detectAndDecode(grey)
    assert found == ADDRESS


def test_it_is_read_at_an_arm_s_length() -> None:
    """Rows and stops in 12 points or more: common practice, no source."""
    read = printed(paper_of(SMALL))
    row, due = SMALL.listed.rows[0], SMALL.listed.reached[0]
    planned = f"height {due.height_mm / 10:.1f}"
    for words in (f"{row.front_mm / 10:.1f}", f"By {short_day(due.on)}", planned, "blend"):
        place = read.texts[0].search(words, match_case=True).get_next()
        assert place is not None, words
        assert pdfium.FPDFText_GetFontSize(read.texts[0].raw, place[0]) >= 12


@pytest.mark.parametrize("on", PAPERS)
@pytest.mark.parametrize("pot", [BIG, LEAF], ids=["big", "leaf"])
def test_nothing_lies_where_printers_do_not_reach(pot: Pot, on: str) -> None:
    long = paper_of(pot, whose="Maximiliana-Theodora F. · Grade 11, rotating day B, afternoons")
    for units in (CM, Centimetres("in", "lb"), Centimetres("mm", "g")):
        read = printed(long, on, units)
        for page, (wide, high) in enumerate(read.sizes_mm):
            boxes = [path.box for path in paths(read, page)] + text_boxes(read, page)
            assert min(min(box[:2]) for box in boxes) >= 6
            assert max(box[2] for box in boxes) <= wide - 6
            assert max(box[3] for box in boxes) <= high - 6


def test_in_inches_and_pounds_it_speaks_of_them() -> None:
    said = text(printed(paper_of(SMALL), units=Centimetres("in", "lb")))
    assert "Height, in" in said
    assert "Coil, in lb Seam at" in said
    assert "rim at 7 1/16 in" in said
