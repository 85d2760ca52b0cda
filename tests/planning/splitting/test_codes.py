"""A printed thumbnail sheet: which way is up, and that none of its print is a drawing."""

from itertools import product

import numpy as np
import pypdfium2
import pytest

from planning.splitting.codes import ANCHOR, codes_on, printed_with_codes
from planning.splitting.page import working_gray
from planning.splitting.run import answer
from studio.paper.codes import qr
from studio.paper.pages import A4
from studio.paper.pages import Sheet as PrintedPage
from studio.paper.pdf import pdf
from tests.planning import scanned
from tests.planning.exploration.ideas import Array

from .counting import boxes_of, figures, split
from .photos import photographed
from .sheets import Sheet


def a_sheet(seed: int, size: str, dpi: int) -> Sheet:
    """Six to twelve drawings; a dpi of 0 is a photograph by hand."""
    paper = scanned.printed(scanned.paper_of(), size)
    drawn, boxes = scanned.drawn_on(paper, 6 + seed % 7, seed, size)
    if dpi:
        picture, there = scanned.scanned(drawn, dpi, seed)
    else:
        picture, there = photographed(drawn, np.random.default_rng(seed))
    return Sheet(picture, scanned.boxes_in(boxes, there), size)


@pytest.mark.parametrize("turns", range(4))
def test_a_code_says_what_it_says_and_how_its_page_lies(turns: int) -> None:
    page = scanned.blank_page(scanned.paper_of(), 120)
    (code,) = codes_on(np.ascontiguousarray(np.rot90(page, -turns)))
    assert code.text == scanned.paper_of().address + "#sketch"
    assert code.turns == turns


def test_a_code_that_is_too_coarse_at_first_is_read_in_the_fine() -> None:
    """On A3 with a head of A4's size: 3.3 pixels a millimetre, then 6.7."""
    page = np.full((2806, 1984), 235, np.uint8)
    head = scanned.blank_page(scanned.paper_of(), 170)[:300]
    page[:300, : head.shape[1]] = head[:, : page.shape[1]]
    (code,) = codes_on(page)
    assert code.text.endswith("#sketch")


def test_codes_of_photographed_sheets_are_read_at_the_size_at_which_sheets_are() -> None:
    """Two pixels a cell, after a photo by hand; one in ten may be too blurred."""
    paper = scanned.printed(scanned.paper_of()) * np.float32(0.95)
    photos = (photographed(paper, np.random.default_rng(seed))[0] for seed in range(10))
    read = [code.text for photo in photos for code in codes_on(working_gray(photo)[0])]
    assert sum(text.endswith(ANCHOR) for text in read) >= 9


def test_scanned_sheets_come_apart_and_their_print_is_no_drawing() -> None:
    cases = [("a4", 200), ("a4", 300), ("letter", 200), ("letter", 300), ("a3", 200), ("a4", 0)]
    told = figures(split(a_sheet(seed, size, dpi)) for seed, (size, dpi) in enumerate(cases))
    assert told.recall > 0.95
    assert told.precision > 0.95


@pytest.mark.slow
def test_many_scanned_sheets_come_apart() -> None:
    told = figures(
        split(a_sheet(seed, size, dpi))
        for seed, (size, dpi) in enumerate(product(("a4", "letter", "a3"), (200, 300, 0) * 3), 100)
    )
    assert told.recall > 0.97
    assert told.precision > 0.97
    assert told.exact > 0.8


def test_a_sheet_on_which_nothing_is_drawn_has_no_drawing() -> None:
    for size in ("a4", "letter", "a3", "tabloid"):
        paper = scanned.printed(scanned.paper_of(), size)
        picture, _there = scanned.scanned(paper * np.float32(0.95), 150, 3)
        assert not len(boxes_of(answer(picture, 1.0))), size


def test_beside_another_code_only_the_code_is_printed() -> None:
    """A bench card's leads to the same page, and beside it somebody may have drawn."""
    address = scanned.paper_of().address
    mine, other = (
        printed_with_codes(working_gray(a_page_with(text))[0])
        for text in (address + ANCHOR, address)
    )
    wide = mine.shape[1]
    assert mine[:100].all()
    assert not other[:, : wide // 2].any()
    # The code itself, and on a sheet of ours all above its foot and nothing below.
    assert other[80:180, wide - 200 : wide - 60].all()
    assert not mine[400:].any()
    assert not other[400:].any()


def test_a_code_that_is_seen_and_not_read_is_printed_and_says_nothing() -> None:
    page = a_page_with(scanned.paper_of().address + ANCHOR)
    page[100:180, 830:900] = 0  # ink over more of it than level M mends, 15 % (ISO/IEC 18004)
    (code,) = codes_on(page)
    assert (code.text, code.turns) == ("", 0)
    printed = printed_with_codes(page)
    assert printed[80:180, 800:920].all()
    assert not printed[:, :600].any()


def a_page_with(text: str) -> Array:
    """A code as large as a sheet's, at the top right of A4; gray, 8 bits."""
    code = qr(text, x_mm=164.0, y_mm=10.0, side_mm=36.0)
    document = pypdfium2.PdfDocument(pdf(A4, [PrintedPage((code,))], title="A code"))
    drawn = document[0].render(scale=120 / 72, grayscale=True).to_numpy()
    return np.ascontiguousarray(drawn.squeeze())


def test_a_picture_that_is_too_small_for_a_code_has_none() -> None:
    assert codes_on(np.full((21, 400), 200, np.uint8)) == []
    assert codes_on(np.full((400, 400), 200, np.uint8)) == []
