"""Words are broken, cut and aligned by their true widths."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase import pdfmetrics

from studio.paper.pages import A4, Align, Face, Sheet, Words
from studio.paper.pdf import pdf
from studio.paper.text import (
    baseline_mm,
    cut,
    fitted,
    line_mm,
    lines_of,
    runs_of,
    width_mm,
    wrapped,
)
from tests.studio.paper.measuring import Print

SENTENCE = "Wrap what is left and put it back into its bag, then wipe the table with a wet sponge."


def test_a_point_is_a_seventy_second_of_an_inch() -> None:
    assert line_mm(72, 1.0) == 25.4


def test_words_break_between_words_and_none_is_lost() -> None:
    lines = lines_of(SENTENCE, 50, 10)
    assert len(lines) > 2
    assert " ".join(lines) == SENTENCE
    assert all(width_mm(line, 10) <= 50 for line in lines)
    # Each line is as full as it can be: the next line's first word had no room.
    for line, after in pairwise(lines):
        assert width_mm(f"{line} {after.split()[0]}", 10) > 50


def test_a_long_word_breaks_after_its_hyphen_and_else_where_the_room_ends() -> None:
    assert lines_of("Featherstone-Anstruther", 30, 11) == ["Featherstone-", "Anstruther"]
    pieces = lines_of("Donaudampfschifffahrtsgesellschaft", 20, 11)
    assert "".join(pieces) == "Donaudampfschifffahrtsgesellschaft"
    assert all(width_mm(piece, 11) <= 20 for piece in pieces)


def test_a_short_word_before_a_long_one_keeps_its_own_line() -> None:
    assert lines_of("Ode Donaudampfschifffahrt", 20, 11)[0] == "Ode"


def test_a_number_is_not_parted_from_its_unit_by_a_no_break_space() -> None:
    room_mm = width_mm("Take about 13", 10) + 1
    assert lines_of("Take about 13\xa0mm", room_mm, 10) == ["Take about", "13\xa0mm"]


def test_line_ends_in_the_text_are_kept_and_no_text_is_no_line() -> None:
    assert lines_of("One\n\nTwo", 50, 10) == ["One", "", "Two"]
    assert lines_of("", 50, 10) == []


def test_the_last_line_says_with_an_ellipsis_that_there_is_more() -> None:
    lines = lines_of(SENTENCE, 50, 10, most=2)
    assert len(lines) == 2
    assert lines[1].endswith("…")
    assert width_mm(lines[1], 10) <= 50
    assert lines_of("Short.", 50, 10, most=2) == ["Short."]


@given(st.text(st.characters(codec="latin-1", exclude_categories=["C"])), st.floats(8, 190))
def test_no_line_is_ever_wider_than_its_room_and_no_letter_is_lost(
    text: str, room_mm: float
) -> None:
    lines = lines_of(text, room_mm, 10)
    assert all(width_mm(line, 10) <= room_mm + 1e-6 for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())


def test_wrapped_lines_follow_each_other_from_their_top_edge() -> None:
    marks, bottom_mm = wrapped(SENTENCE, 20, 30, 50, 10, leading=1.5)
    assert bottom_mm == 30 + len(marks) * line_mm(10, 1.5)
    assert marks[0].y_mm == 30 + baseline_mm(10, 1.5)
    assert marks[1].y_mm - marks[0].y_mm == pytest.approx(line_mm(10, 1.5))


def test_words_are_read_back_where_their_alignment_puts_them() -> None:
    right, _ = wrapped("Right", 20, 30, 100, 12, align=Align.RIGHT)
    centre, _ = wrapped("Middle", 20, 50, 100, 12, align=Align.CENTRE)
    left, _ = wrapped("Left", 20, 70, 100, 12)
    read = Print(pdf(A4, [Sheet((*right, *centre, *left))], title="Trial"))
    assert abs(read.find("Right").right_mm - 120) < 0.3
    middle = read.find("Middle")
    assert abs((middle.left_mm + middle.right_mm) / 2 - 70) < 0.3
    assert abs(read.find("Left").left_mm - 20) < 0.3
    assert abs(read.find("Left").baseline_mm - left[0].y_mm) < 0.3


def test_fitted_words_keep_their_place_face_and_alignment() -> None:
    words = Words(100, 30, "Featherstonehaugh", 20, Face.BOLD, Align.RIGHT, grey=0.5)
    smaller = fitted(words, 30)
    assert smaller.size_pt < 20
    assert (smaller.x_mm, smaller.face, smaller.align, smaller.grey) == (
        100,
        Face.BOLD,
        Align.RIGHT,
        0.5,
    )


def test_a_cut_leaves_no_space_before_its_ellipsis() -> None:
    room_mm = width_mm("Wipe the…", 10) - 0.1
    assert cut("Wipe the table", room_mm, 10) == "Wipe th…"
    assert cut("Wipe the table", width_mm("Wipe …", 10) + 0.1, 10) == "Wipe…"


# Alphabets of Latin script as people write their names in them, and Greek and Cyrillic: the main
# exemplar letters of the Unicode Common Locale Data Repository, from memory.
ALPHABETS = {
    "Māori": "āēīōūĀĒĪŌŪ",
    "Vietnamese": "ăâđêôơưắằẳẵặấầẩẫậếềểễệốồổỗộớờởỡợứừửữựỳỵỷỹỊỌĐƯƠ",
    "Welsh": "âêîôûŵŷẁẃẅỳŴŶ",
    "Polish": "ąćęłńóśźżŁŻ",
    "Turkish": "çğıöşüİŞ",
    "Yoruba": "ẹọṣẸỌṢ",
    "Kikuyu": "ĩũĨŨ",
    "Azerbaijani": "əƏ",
    "Greek": "αβγδεζηθικλμνξοπρστυφχψωςάέήίόύώΆΈΩ",
    "Ukrainian": "абвгґдеєжзиіїйклмнопрстуфхцчшщьюяҐЄІЇ",
}


@pytest.mark.parametrize("alphabet", ALPHABETS)
@pytest.mark.parametrize("face", Face)
def test_the_letters_of_a_name_are_drawn_and_none_is_an_empty_box(
    face: Face, alphabet: str
) -> None:
    letters = ALPHABETS[alphabet]
    printed = Print(pdf(A4, [Sheet((Words(20, 40, letters, 10, face),))], title="Names"))
    assert letters in printed.text()
    for letter in letters:
        assert all(_glyph(font, part) for font, part in runs_of(letter, face)), letter


def _glyph(font: str, letter: str) -> int:
    """The letter's glyph in the font file; 0 is the empty box."""
    return int(pdfmetrics.getFont(font).face.charToGlyph.get(ord(letter), 0))  # type: ignore[attr-defined]


@pytest.mark.parametrize("align", Align)
def test_a_name_in_two_fonts_is_placed_as_one(align: Align) -> None:
    name = "Linh Đặng of Ōtaki"
    printed = Print(pdf(A4, [Sheet((Words(100, 50, name, 12, Face.BOLD, align),))], title="Name"))
    found, wide_mm = printed.find(name), width_mm(name, 12, Face.BOLD)
    left_mm = {Align.LEFT: 100, Align.CENTRE: 100 - wide_mm / 2, Align.RIGHT: 100 - wide_mm}[align]
    assert found.left_mm == pytest.approx(left_mm, abs=0.3)
    assert found.right_mm == pytest.approx(left_mm + wide_mm, abs=0.3)
