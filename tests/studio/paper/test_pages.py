"""Codes, words and PDFs at the size that they say."""

import pypdfium2
import pytest
import segno

from studio.paper.codes import QUIET, qr
from studio.paper.pages import A4, LETTER, Face, Page, Sheet, Stroke, Words
from studio.paper.pdf import pdf
from studio.paper.text import fitted, width_mm


def test_a_code_has_exactly_its_black_modules_and_the_quiet_zone() -> None:
    text = "https://studio.example/sign-in/brookfield/"
    drawn = qr(text, x_mm=0, y_mm=0, side_mm=33)
    matrix = segno.make(text, error="m", micro=False).matrix
    side = len(matrix) + 2 * QUIET
    assert drawn.cell_mm == pytest.approx(33 / side)
    black = {(column + step, row) for column, row, length in drawn.runs for step in range(length)}
    wanted = {
        (x + QUIET, y + QUIET) for y, cells in enumerate(matrix) for x, on in enumerate(cells) if on
    }
    assert black == wanted


def test_words_that_fit_stay_as_they_are() -> None:
    words = Words(0, 0, "Ode Amari", 15, Face.TITLE)
    assert fitted(words, 80) is words


def test_long_words_shrink_and_then_end_in_an_ellipsis() -> None:
    long = fitted(Words(0, 0, "Maximiliana Featherstonehaugh-Anstruther", 15), 70)
    assert 6 < long.size_pt < 15
    assert width_mm(long.text, long.size_pt, long.face) <= 70 + 1e-6
    endless = fitted(Words(0, 0, "M" * 500, 15), 70)
    assert endless.text.endswith("M…")
    assert width_mm(endless.text, endless.size_pt, endless.face) <= 70


@pytest.mark.parametrize("page", [A4, LETTER])
def test_a_pdf_has_its_page_s_size_and_text_that_can_be_read_back(page: Page) -> None:
    sheet = Sheet((Words(20, 30, "Zoë Ångström · ½ “round”", 12), Stroke(0, 0, 10, 10)))
    document = pypdfium2.PdfDocument(pdf(page, [sheet, sheet], title="Trial"))
    assert len(document) == 2
    width_pt, height_pt = document[0].get_size()
    assert width_pt == pytest.approx(page.width_mm / 25.4 * 72, abs=0.01)
    assert height_pt == pytest.approx(page.height_mm / 25.4 * 72, abs=0.01)
    text = document[0].get_textpage()
    assert text.get_text_range().strip() == "Zoë Ångström · ½ “round”"
    left, bottom, _right, _top = text.get_charbox(0)
    assert left / 72 * 25.4 == pytest.approx(20, abs=0.6)
    assert page.height_mm - bottom / 72 * 25.4 == pytest.approx(30, abs=0.6)


def test_the_same_sheets_make_the_same_bytes_with_their_fonts_inside() -> None:
    sheet = Sheet((Words(20, 30, "Ode", 12), Words(20, 40, "Amari", 12, Face.TITLE)))
    first, second = (pdf(A4, [sheet], title="Trial") for _ in range(2))
    assert first == second
    assert first.count(b"/FontFile2") == 2
    assert first.count(b"/Type /Font ") == first.count(b"/FontFile2")
