"""Lists fill pages: nothing lost, nothing split, each page with its title and its number."""

import pytest

from studio.paper.blocks import Beside, Caution, Drawing, Paragraph, heading
from studio.paper.flow import MARGIN_MM, Flow
from studio.paper.pages import A4, LETTER, Align, Face, Mark, Page, Sheet, Words
from studio.paper.pdf import pdf
from studio.paper.tables import TICK_MM, Blank, Column, Table, Tick
from tests.studio.paper.measuring import Print

COLUMNS = [
    Column("", TICK_MM),
    Column("Code", 17, face=Face.BOLD),
    Column("Name"),
    Column("Take, about", 26, Align.RIGHT),
    Column("Given", 24),
]
LONG_NAME = "Maximiliana-Theodora Featherstonehaugh-Anstruther of the second bench"


def flow(page: Page = A4) -> Flow:
    return Flow(
        page,
        title="Clay to issue",
        subtitle="Grade 9, period 4 · Friday 4 December 2026",
        footer="Brookfield ceramics · printed 25 November 2026",
    )


def rows(count: int) -> list[list[str | Tick | Blank]]:
    names = ["Ode A.", LONG_NAME, "Zoë Å."]
    return [[Tick(), f"K{n:03}", names[n % 3], "2850 g", Blank()] for n in range(count)]


def printed(page: Page, sheets: list[Sheet]) -> Print:
    return Print(pdf(page, sheets, title="Trial"))


def block(height_mm: float, said: str) -> Drawing:
    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        return [Words(x_mm, y_mm + 5, said, 10)]

    return Drawing(height_mm, draw, after_mm=0)


@pytest.mark.parametrize("page", [A4, LETTER])
def test_three_classes_of_rows_are_all_there_once_on_numbered_pages(page: Page) -> None:
    pages = flow(page)
    pages.add(
        Paragraph("Weigh each lump."), Table(COLUMNS, rows(105), ["", "", "105 pots", "", ""])
    )
    read = printed(page, pages.sheets())
    count = len(read.sizes_mm)
    assert count >= 4
    texts = [read.text(number) for number in range(count)]
    for number, text in enumerate(texts, start=1):
        assert text.startswith("Clay to issue")
        assert text.endswith(f"printed 25 November 2026 page {number} of {count}")
        assert text.count("Take, about") == 1
    codes = [f"K{n:03}" for n in range(105)]
    assert [code for text in texts for code in text.split() if code in codes] == codes
    assert sum(text.count("of the second bench") for text in texts) == 35
    assert "Grade 9" in texts[0]
    assert "Grade 9" not in texts[1]


@pytest.mark.parametrize("page", [A4, LETTER])
def test_every_page_keeps_its_margins(page: Page) -> None:
    pages = flow(page)
    pages.add(Table(COLUMNS, rows(105)), Paragraph("word " * 700))
    read = printed(page, pages.sheets())
    for number in range(len(read.sizes_mm)):
        left_mm, top_mm, right_mm, bottom_mm = read.extent_mm(number)
        assert left_mm > MARGIN_MM - 0.3
        assert top_mm > MARGIN_MM - 0.3
        assert right_mm < page.width_mm - MARGIN_MM + 0.3
        assert bottom_mm < page.height_mm - MARGIN_MM + 1.2  # letters below the baseline


@pytest.mark.parametrize("page", [A4, LETTER])
def test_the_title_and_the_page_number_are_where_they_are_laid(page: Page) -> None:
    read = printed(page, flow(page).sheets())
    assert read.find("Clay to issue").left_mm == pytest.approx(15, abs=0.3)
    assert read.find("Clay to issue").baseline_mm == pytest.approx(15 + 6, abs=0.3)
    said = read.find("page 1 of 1")
    assert said.right_mm == pytest.approx(page.width_mm - 15, abs=0.3)
    assert read.find("Brookfield").baseline_mm == pytest.approx(page.height_mm - 15, abs=0.3)


def test_a_title_without_a_subtitle_leaves_no_gap_for_one() -> None:
    with_one, without = Flow(A4, title="T", subtitle="Words"), Flow(A4, title="T")
    tops = []
    for pages in (with_one, without):
        pages.add(block(10, "Here"))
        tops.append(printed(A4, pages.sheets()).find("Here").baseline_mm)
    assert tops[0] > tops[1]


def test_a_heading_moves_on_with_what_follows_it() -> None:
    pages = flow()
    pages.add(block(215, "Above"), heading("To cover"), block(20, "Pots"))
    read = printed(A4, pages.sheets())
    assert "To cover" not in read.text(0)
    assert read.text(1).startswith("Clay to issue To cover Pots")


def test_a_heading_stays_with_a_table_s_first_row_not_only_its_head() -> None:
    fitting = flow()
    fitting.add(heading("Pots"), Table(COLUMNS, rows(1)))
    high_mm = 9  # of a heading and a table's head, about
    pages = flow()
    pages.add(block(pages.bottom_mm - 34 - 2 * high_mm, "Above"))
    pages.add(heading("Pots"), Table(COLUMNS, rows(30)))
    read = printed(A4, pages.sheets())
    assert ("Pots" in read.text(0)) == ("K000" in read.text(0))


def test_a_heading_with_nothing_after_it_is_still_printed() -> None:
    pages = flow()
    pages.add(heading("Nothing more today"))
    assert "Nothing more today" in printed(A4, pages.sheets()).text()


def test_a_caution_is_not_split_if_a_page_can_hold_it() -> None:
    pages = flow()
    pages.add(block(210, "Above"), Caution("Kilns", ["Students never load alone."] * 5))
    read = printed(A4, pages.sheets())
    assert "Kilns" not in read.text(0)
    assert read.text(1).count("Students never load alone.") == 5


def test_a_caution_longer_than_a_page_goes_on_over_the_page() -> None:
    pages = flow()
    pages.add(Caution("Kilns", ["Students never load alone."] * 60))
    read = printed(A4, pages.sheets())
    said = [read.text(number).count("never load alone") for number in range(len(read.sizes_mm))]
    assert len(said) == 2
    assert sum(said) == 60


def test_what_is_longer_than_a_page_stands_alone_on_one() -> None:
    pages = flow()
    pages.add(block(30, "Above"), block(400, "Tall"), block(20, "Below"))
    read = printed(A4, pages.sheets())
    said = [read.text(number) for number in range(3)]
    assert [word in text for word, text in zip(("Above", "Tall", "Below"), said, strict=True)] == [
        True,
        True,
        True,
    ]


def test_turning_begins_a_page_once() -> None:
    pages = flow()
    pages.turn()
    pages.add(block(30, "First"))
    pages.turn()
    pages.turn()
    pages.add(heading("Second"))
    pages.turn()
    pages.add(block(30, "Third"))
    assert len(pages.sheets()) == 3


def test_an_empty_text_takes_no_room() -> None:
    pages = flow()
    pages.add(Paragraph(""), block(20, "Here"))
    assert len(pages.sheets()) == 1


def test_a_long_title_and_footer_are_made_to_fit() -> None:
    pages = Flow(A4, title="Clay to issue " * 20, footer="Brookfield " * 40)
    pages.add(block(400, "Tall"), block(20, "Below"))
    read = printed(A4, pages.sheets())
    for number in (0, 1):
        assert read.extent_mm(number)[2] < 210 - 15 + 0.3


def test_load_maps_beside_each_other_move_to_the_next_page_together() -> None:
    pages = flow()
    pages.add(block(150, "Above"), Beside([block(90, "Layer 1"), block(70, "Layer 2")]))
    read = printed(A4, pages.sheets())
    assert "Layer" not in read.text(0)
    first, second = read.find("Layer 1", 1), read.find("Layer 2", 1)
    assert first.baseline_mm == pytest.approx(second.baseline_mm, abs=0.1)
    assert second.left_mm - first.left_mm == pytest.approx((pages.room_mm - 8) / 2 + 8, abs=0.3)
