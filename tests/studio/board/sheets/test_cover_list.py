"""The cover list on paper: a tick, a small pot, a code in each row."""

import numpy as np
import pytest

from studio.board.sheets.cover_list import CoverPaper, DampPot, cover_list_pdf
from studio.paper.pages import A4, LETTER, Page
from tests.studio.paper.measuring import MM, Print

SHAPE = [(0.0, 50.0, 50.0), (100.0, 95.0, 95.0), (200.0, 60.0, 60.0)]
TITLE = "These 35 stay damp: next lesson Tuesday, in 4 days."


def paper(count: int) -> CoverPaper:
    pots = [
        DampPot(f"K{n // 10}-{n % 10}F", "Ode A.", "Damp cupboard", "Fri 6 March", "wet", SHAPE)
        for n in range(count)
    ]
    return CoverPaper(TITLE, "Period 3 · Friday 13 March 2026", "Brookfield School studio", pots)


@pytest.mark.parametrize("page", [A4, LETTER])
def test_all_of_35_pots_are_there_under_a_head_on_each_page(page: Page) -> None:
    read = Print(cover_list_pdf(paper(35), page))
    texts = [read.text(number) for number in range(len(read.sizes_mm))]
    assert sum(text.count("Damp cupboard") for text in texts) == 35
    for text in texts:
        assert TITLE in text
        assert "Last wrapped" in text
    assert "the pots of absent students as well" in texts[0]


def test_each_pot_is_drawn_small_between_its_tick_and_its_code() -> None:
    read = Print(cover_list_pdf(paper(1), A4))
    code = read.find("K0-0F")
    tick = read.find("Wrapped").left_mm
    rows = slice(round((code.baseline_mm - 6) / MM), round((code.baseline_mm + 3) / MM))
    between = read.grey()[rows, round((tick + 5) / MM) : round((code.left_mm - 1) / MM)] < 200
    columns = np.flatnonzero(between.any(axis=0))
    wide_mm = (columns.max() - columns.min() + 1) * MM
    # 200 mm high and 190 wide, to one scale within 9 × 14 mm with its rim: about 8.5 wide.
    assert 7 < wide_mm < 9.5


def test_a_class_without_damp_pots_reads_a_sentence() -> None:
    none = CoverPaper("No pot has to stay damp.", "Period 3", "Brookfield", [])
    text = Print(cover_list_pdf(none, LETTER)).text()
    assert "No pot has to stay damp." in text
    assert "Wet and leather-hard pots under way would stand here." in text
