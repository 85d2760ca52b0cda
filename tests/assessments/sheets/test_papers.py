"""Marks on paper: one page a student, and text that can be read back."""

import pypdfium2
import pytest

from assessments.sheets.mark_sheet import (
    CriterionKey,
    MarkSheet,
    StudentLine,
    mark_sheet_pdf,
)
from assessments.sheets.report import CriterionLine, Report, report_sheets, reports_pdf
from studio.paper.pages import A4, LETTER, Page
from tests.studio.paper.measuring import Print

POT = [(0.0, 50.0, 52.0), (100.0, 95.0, 95.0), (200.0, 60.0, 60.0)]
SENTENCE = "The outline follows the plan; shoulder, belly and foot sit where they were drawn. "


def a_report(**changed: object) -> Report:
    line = CriterionLine("Silhouette control", "3 of 4", SENTENCE, "", [SENTENCE] * 5)
    values = {
        "name": "Ode Amari",
        "code": "K7-3F",
        "subtitle": "Period 3 · Something that grew",
        "total": "12 of 16",
        "reason": "",
        "criteria": [line] * 4,
        "comment": "The shoulder holds.",
        "lost": "",
        "silhouette": POT,
        "stage": "glaze_fired",
        "footer": "Brookfield",
    } | changed
    return Report(**values)  # type: ignore[arg-type]


def a_sheet(students: int, criteria: int = 4) -> MarkSheet:
    letters = "ABCDEFGHIJKL"[:criteria]
    return MarkSheet(
        title="Mark sheet",
        subtitle="Period 3",
        footer="Brookfield",
        rubric="What the letters stand for",
        criteria=[
            CriterionKey(letter, f"criterion {letter}", "1", [("4", SENTENCE), ("1", SENTENCE)])
            for letter in letters
        ],
        students=[
            StudentLine(f"Student {n:02}", f"K{n}-3F", ["4"] * criteria, "16", "released")
            for n in range(students)
        ],
        summary=f"{students} pots",
    )


def text_of(pdf: bytes) -> list[str]:
    return [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf)]


@pytest.mark.parametrize("page", [A4, LETTER])
class TestReport:
    def test_a_report_is_one_page_that_can_be_read_back(self, page: Page) -> None:
        [text] = text_of(reports_pdf([a_report()], page))
        flat = " ".join(text.split())
        for said in ("Ode Amari", "K7-3F", "12 of 16", "3 of 4", "The shoulder holds."):
            assert said in flat
        assert "page 1 of 1" in flat

    def test_much_evidence_is_shortened_before_the_page_grows(self, page: Page) -> None:
        line = CriterionLine("Rim", "3 of 4", SENTENCE * 2, "A note", [SENTENCE * 2] * 6)
        sheets = report_sheets(a_report(criteria=[line] * 6), page)
        assert len(sheets) == 1

    def test_what_the_teacher_writes_is_never_cut(self, page: Page) -> None:
        comment = " ".join(f"word{n}" for n in range(600))
        text = " ".join(text_of(reports_pdf([a_report(comment=comment)], page)))
        assert "word0 " in text
        assert "word599" in text

    def test_a_re_mark_and_a_broken_pot_are_said(self, page: Page) -> None:
        report = a_report(reason="Drawings found.", lost="Pot K7-3F is broken.", silhouette=[])
        flat = " ".join(text_of(reports_pdf([report], page))[0].split())
        assert "Marked again: Drawings found." in flat
        assert "Pot K7-3F is broken." in flat
        assert "no outline to show" in flat

    def test_each_student_s_pages_are_numbered_by_themselves(self, page: Page) -> None:
        texts = text_of(reports_pdf([a_report(), a_report(name="Bram Vos")], page))
        assert ["page 1 of 1" in text for text in texts] == [True, True]


@pytest.mark.parametrize("page", [A4, LETTER])
class TestMarkSheet:
    def test_every_student_stands_on_it_with_the_legend(self, page: Page) -> None:
        text = " ".join(" ".join(text_of(mark_sheet_pdf(a_sheet(35), page))).split())
        assert all(f"Student {n:02} K{n}-3F 4 4 4 4 16 released" in text for n in range(35))
        assert "D: criterion D, weight 1" in text

    def test_nothing_reaches_into_the_margins_with_twelve_criteria(self, page: Page) -> None:
        printed = Print(mark_sheet_pdf(a_sheet(35, 12), page))
        for number in range(len(printed.sizes_mm)):
            left, top, right, bottom = printed.extent_mm(number)
            assert min(left, top) >= 14
            assert right <= page.width_mm - 14
            assert bottom <= page.height_mm - 14

    def test_a_class_without_pieces_says_so(self, page: Page) -> None:
        [text] = text_of(mark_sheet_pdf(a_sheet(0), page))
        assert "Nobody in this class has a piece yet." in text
