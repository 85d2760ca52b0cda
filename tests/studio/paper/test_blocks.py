"""Blocks are as high as they say, and split only where they may."""

import pytest

from studio.paper.blocks import Beside, Caution, Drawing, Paragraph, heading, placed
from studio.paper.pages import A4, Align, Face, Sheet, Stroke, Words
from studio.paper.pdf import pdf
from studio.paper.shapes import box
from studio.paper.text import line_mm
from tests.studio.paper.measuring import Print

LONG = "Wipe the table with a wet sponge before you go and leave no dry crumbs on the floor. " * 6


def test_a_paragraph_never_leaves_one_line_alone() -> None:
    parts = Paragraph(LONG, 10).parts(100)
    high_mm = line_mm(10)
    counts = [round(part.height_mm / high_mm) for part in parts]
    assert counts == [2, *[1] * (len(counts) - 2), 2]


@pytest.mark.parametrize("lines", [1, 2, 3])
def test_up_to_three_lines_stay_together(lines: int) -> None:
    (part,) = Paragraph("\n".join(["Line"] * lines), 10).parts(100)
    assert part.height_mm == pytest.approx(lines * line_mm(10))


def test_four_lines_split_in_the_middle_and_no_text_is_no_part() -> None:
    assert len(Paragraph("1\n2\n3\n4", 10).parts(100)) == 2
    assert Paragraph("", 10).parts(100) == []


def test_a_heading_stays_with_what_follows_it_and_is_set_in_the_title_face() -> None:
    title = heading("To cover today")
    assert title.keep
    assert title.face is Face.TITLE


def test_a_paragraph_may_stand_at_the_right() -> None:
    marks, _bottom = placed(Paragraph("End", align=Align.RIGHT), 20, 30, 100)
    found = Print(pdf(A4, [Sheet(tuple(marks))], title="Trial")).find("End")
    assert found.right_mm == pytest.approx(120, abs=0.3)


def test_a_caution_has_a_border_around_all_that_it_says() -> None:
    caution = Caution("Clay dust", ["Never sweep dry clay.", "Your school's own rules come first."])
    marks, bottom_mm = placed(caution, 20, 30, 150)
    read = Print(pdf(A4, [Sheet(tuple(marks))], title="Trial"))
    assert read.extent_mm() == pytest.approx((20, 30, 170, bottom_mm), abs=0.4)
    assert read.text() == "Clay dust Never sweep dry clay. Your school's own rules come first."
    assert read.find("Clay dust").left_mm == pytest.approx(24, abs=0.3)
    assert caution.whole


def test_a_caution_that_must_split_keeps_its_sides_on_both_pages() -> None:
    parts = Caution("Clay dust", [LONG, LONG]).parts(100)
    for part in parts:
        sides = [
            mark
            for mark in part.draw(20, 30)
            if isinstance(mark, Stroke) and mark.x1_mm == mark.x2_mm
        ]
        assert [(side.x1_mm, side.y1_mm, side.y2_mm) for side in sides] == [
            (20, 30, 30 + part.height_mm),
            (120, 30, 30 + part.height_mm),
        ]


def test_blocks_beside_each_other_share_the_room_and_the_page() -> None:
    two = Beside([Drawing(20, lambda x, y: [box(x, y)]), Paragraph("Second")], gap_mm=10)
    (part,) = two.parts(110)
    assert part.height_mm == 20
    drawn, words = part.draw(15, 40)
    assert drawn == box(15, 40)
    assert isinstance(words, Words)
    assert words.x_mm == 15 + 50 + 10


def test_a_placed_block_ends_below_its_last_part() -> None:
    _marks, bottom_mm = placed(Drawing(25, lambda _x, _y: []), 10, 100, 50)
    assert bottom_mm == 125
