"""Tables: cells where their columns are, rows that are never split."""

import pytest

from studio.paper.blocks import placed
from studio.paper.pages import A4, Align, Mark, Shape, Sheet, Stroke, Words
from studio.paper.pdf import pdf
from studio.paper.shapes import box
from studio.paper.tables import (
    GUTTER_MM,
    PAD_MM,
    REST,
    TICK_MM,
    Blank,
    Column,
    Picture,
    Table,
    Tick,
    rooms,
)
from studio.paper.text import line_mm
from tests.studio.paper.measuring import Print

COLUMNS = [Column("", TICK_MM), Column("Code", 20), Column("Name"), Column("Take", 30, Align.RIGHT)]


def printed(table: Table, room_mm: float = 180) -> tuple[list[Mark], Print]:
    marks, _bottom = placed(table, 15, 40, room_mm)
    return marks, Print(pdf(A4, [Sheet(tuple(marks))], title="Trial"))


def test_columns_that_ask_for_the_rest_share_it() -> None:
    columns = [Column("A", 20), Column("B"), Column("C"), Column("D", 30)]
    given = rooms(columns, 180)
    assert given == [20, 59, 59, 30]
    assert sum(given) + 3 * GUTTER_MM == 180


def test_columns_shrink_alike_where_the_page_is_too_narrow() -> None:
    given = rooms([Column("A", 100), Column("B", 200), Column("C", REST)], 164)
    assert sum(given) + 2 * GUTTER_MM == pytest.approx(164)
    assert given[1] == pytest.approx(2 * given[0])


def test_words_are_read_back_where_their_columns_are() -> None:
    _marks, read = printed(Table(COLUMNS, [[Tick(), "K7-3F", "Ode A.", "2850 g"]]))
    assert read.text() == "Code Name Take K7-3F Ode A. 2850 g"
    assert read.find("K7-3F").left_mm == pytest.approx(15 + 4 + 4, abs=0.3)
    assert read.find("Name").left_mm == pytest.approx(15 + 4 + 4 + 20 + 4, abs=0.3)
    assert read.find("2850 g").right_mm == pytest.approx(15 + 180, abs=0.3)
    left_mm, _top, right_mm, _bottom = read.extent_mm()
    assert (left_mm, right_mm) == pytest.approx((15, 195), abs=0.3)


def test_a_row_is_as_high_as_its_highest_cell_and_no_lower_than_its_least() -> None:
    tall = "Four short words wrap " * 2
    table = Table([Column("A", 20), Column("B")], [["x", "y"], [tall, "y"]], row_mm=8)
    low, high = table.parts(100)
    assert low.height_mm == 8
    lines = sum(isinstance(mark, Words) for mark in high.draw(0, 0)) - 1
    assert lines > 2
    assert high.height_mm == pytest.approx(lines * line_mm(10) + 2 * PAD_MM)


def test_a_cell_ends_in_an_ellipsis_after_its_most_lines() -> None:
    table = Table([Column("Comment", 40, lines=3)], [["All that I wanted to say " * 20]])
    _marks, read = printed(table)
    assert read.text().endswith("…")
    (row,) = table.parts(100)
    assert sum(isinstance(mark, Words) for mark in row.draw(0, 0)) == 3


def test_a_tick_box_stands_in_the_middle_of_its_row_with_its_words_beside_it() -> None:
    (row,) = Table([Column("", 40)], [[Tick("covered")]], row_mm=10).parts(40)
    square, words, _line = row.draw(15, 40)
    assert square == box(15, 43, TICK_MM)
    assert isinstance(words, Words)
    assert words.text == "covered"
    assert words.x_mm > 15 + TICK_MM


def test_a_tick_box_alone_follows_its_column_s_alignment() -> None:
    (row,) = Table([Column("", 40, Align.CENTRE)], [[Tick()]], row_mm=10).parts(40)
    square, _line = row.draw(15, 40)
    assert square == box(15 + 18, 43, TICK_MM)


def test_a_row_of_blanks_is_pale_frames_without_a_line_below() -> None:
    (row,) = Table([Column("Given", 30)], [[Blank(8)]], row_mm=7).parts(30)
    assert row.height_mm == pytest.approx(8 + 2 * PAD_MM)
    (frame,) = row.draw(15, 40)
    assert isinstance(frame, Shape)
    assert frame.grey > 0
    assert frame.points_mm[0] == pytest.approx((15, 40 + PAD_MM))
    assert frame.points_mm[2] == pytest.approx((45, 48 + PAD_MM))


def test_a_picture_gets_its_height_and_its_column_s_room() -> None:
    seen: list[tuple[float, float, float]] = []

    def draw(x_mm: float, y_mm: float, room_mm: float) -> list[Mark]:
        seen.append((x_mm, y_mm, room_mm))
        return []

    (row,) = Table([Column("Pot", 20)], [[Picture(15, draw)]]).parts(20)
    row.draw(15, 40)
    assert row.height_mm == 15 + 2 * PAD_MM
    assert seen == [(15, 40 + PAD_MM, 20)]


def test_the_total_is_bold_and_stays_with_the_last_row() -> None:
    table = Table(COLUMNS, [[Tick(), "K7-3F", "Ode A.", "2850 g"]] * 3, ["", "", "Sum", "8550 g"])
    parts = table.parts(180)
    assert len(parts) == 3
    assert parts[2].height_mm == parts[0].height_mm + table.row_mm
    said = [mark.text for mark in parts[2].draw(0, 0) if isinstance(mark, Words)]
    assert said == ["K7-3F", "Ode A.", "2850 g", "Sum", "8550 g"]


def test_a_total_stands_without_rows_too() -> None:
    (part,) = Table(COLUMNS, [], ["", "", "Sum", "0 g"]).parts(180)
    assert [mark.text for mark in part.draw(0, 0) if isinstance(mark, Words)] == ["Sum", "0 g"]


def test_the_lines_between_rows_are_paler_than_the_head_s() -> None:
    table = Table(COLUMNS, [["", "K7-3F", "Ode A.", "2850 g"]])
    head = table.head(180)
    assert head is not None
    rules = [part.draw(0, 0)[-1] for part in (head, *table.parts(180))]
    assert isinstance(rules[0], Stroke)
    assert isinstance(rules[1], Stroke)
    assert (rules[0].grey, rules[1].grey) == (0.0, 0.5)
    assert rules[0].width_mm > rules[1].width_mm
