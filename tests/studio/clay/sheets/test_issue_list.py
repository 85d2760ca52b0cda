"""The issue list on paper."""

import pypdfium2
import pytest

from studio.clay.sheets.issue_list import (
    IssuePaper,
    PaperLine,
    issue_list_pdf,
    issue_list_sheets,
)
from studio.paper.pages import A4, LETTER, Page


def a_paper(count: int = 30, later: int = 2) -> IssuePaper:
    return IssuePaper(
        title="Period 3, Something that grew",
        day="Friday 4 December 2026",
        footer="Brookfield School studio · printed Friday 4 December 2026",
        lines=[
            PaperLine(f"K{n // 10}-{n % 10}F", f"Ode {n}.", "2.41 kg", "2.2 to 2.6 kg", "¼")
            for n in range(count)
        ],
        later=[PaperLine("W9-9W", "Bram V.", "", "", "", "no approved plan yet")] * later,
        total="72.3 kg",
        count=f"{count} pots",
        bags=["Grogged stoneware, Note 2207: 25.0 kg, in bags of 12.5 kg"],
        enough="Not enough Grogged stoneware: 72.3 kg are needed, 25.0 kg are there, 47.3 kg lack.",
    )


def text_of(content: bytes) -> list[str]:
    document = pypdfium2.PdfDocument(content)
    try:
        return [page.get_textpage().get_text_range() for page in document]
    finally:
        document.close()


@pytest.mark.parametrize("page", [A4, LETTER], ids=["A4", "Letter"])
def test_a_class_of_thirty_stands_on_two_pages(page: Page) -> None:
    pages = text_of(issue_list_pdf(a_paper(), page))
    assert len(pages) == 2
    whole = "\n".join(pages)
    for words in (
        "Clay to issue",
        "Period 3, Something that grew",
        "Weigh out",
        "Handed out",
        "Came back",
        "30 pots",
        "72.3 kg",
        "in bags of 12.5 kg",
        "47.3 kg lack",
        "no approved plan yet",
        "never sweep dry",
        "Keep plaster out",
        "one bag at a time",
        "page 2 of 2",
    ):
        assert words in whole
    assert all(f"K{n // 10}-{n % 10}F" in whole for n in range(30))


def test_nobody_waits_is_said() -> None:
    [only] = text_of(issue_list_pdf(a_paper(0, later=0), A4))
    assert "No pot waits for clay just now." in only
    assert "No clay yet" not in only


def test_the_same_list_is_the_same_bytes() -> None:
    assert issue_list_pdf(a_paper(), A4) == issue_list_pdf(a_paper(), A4)
    assert len(issue_list_sheets(a_paper(3), A4)) == 1
