"""The substitute's sheet on paper: two pages for a full class, every line readable."""

import pytest

from studio.board.sheets.substitute import (
    Person,
    StudentLine,
    SubstitutePaper,
    substitute_pdf,
)
from studio.paper.pages import A4, LETTER, Page
from tests.studio.paper.measuring import Print

PEOPLE = [Person("Ines Halloran", "head"), Person("Joost Bakker", "technician")]
BUILD = "Build on: score the edge first."


def line(number: int) -> StudentLine:
    return StudentLine(
        name=f"Maximiliane {chr(65 + number % 26)}.",
        code=f"K{number // 10}-{number % 10}F",
        place="Drying rack by the door" if number % 5 == 0 else "Shelf 1",
        clay="wet",
        now=BUILD,
        wrap=number % 2 == 0,
    )


def paper(count: int) -> SubstitutePaper:
    return SubstitutePaper(
        section="Grade 9, period 4",
        subtitle="Wednesday 11 March 2026 · 35 students · taught by Tomas Lindqvist",
        footer="Brookfield School studio · printed Wednesday 11 March 2026",
        lines=[line(number) for number in range(count)],
        meanings=["Build on: unwrap the pot. " * 6, "Smooth and trim: scrape it."],
        damp="These 18 stay damp: next lesson Monday, in 5 days." if count else "Nothing.",
        damp_by_place=["Shelf 1: K0-0F, K0-2F, K0-4F."] if count else [],
        people=[*PEOPLE, *(Person(f"Priya Raman-{n}", "teacher") for n in range(3))],
    )


@pytest.mark.parametrize("page", [A4, LETTER])
def test_a_class_of_35_has_two_pages(page: Page) -> None:
    read = Print(substitute_pdf(paper(35), page))
    assert len(read.sizes_mm) == 2
    for size in read.sizes_mm:
        assert size == pytest.approx((page.width_mm, page.height_mm), abs=0.2)
    both = read.text(0) + read.text(1)
    assert all(f"K{n // 10}-{n % 10}F" in both for n in range(35))
    assert both.count(BUILD) == 35


@pytest.mark.parametrize("page", [A4, LETTER])
def test_everything_is_within_the_margins(page: Page) -> None:
    read = Print(substitute_pdf(paper(35), page))
    for number in range(2):
        left_mm, top_mm, right_mm, bottom_mm = read.extent_mm(number)
        assert left_mm == pytest.approx(10, abs=0.4)
        assert right_mm == pytest.approx(page.width_mm - 10, abs=0.4)
        assert top_mm > 10
        assert bottom_mm < page.height_mm - 8


def test_the_columns_of_a_student_stand_in_one_line_under_their_heads() -> None:
    read = Print(substitute_pdf(paper(3), A4))
    for head, words in [("Name", "Maximiliane B."), ("Code", "K0-1F"), ("What to do now", BUILD)]:
        assert read.find(words).left_mm == pytest.approx(read.find(head).left_mm, abs=0.3)
    assert read.find("K0-1F").baseline_mm == read.find("Maximiliane B.").baseline_mm


def test_the_must_nots_come_before_the_list_and_defer_to_local_rules() -> None:
    """Common practice, and the usual cautions of a clay room; local rules decide."""
    text = Print(substitute_pdf(paper(35), A4)).text()
    for said in (
        "Local rules and the school's own come first",
        "The kiln room stays locked. Nobody loads, unloads, opens or switches a kiln",
        "No dry sweeping, no sanding or scraping of dry clay",
        "Wet sponge, wet mop.",
        "Plaster never gets into clay or scraps.",
        "No glaze is mixed",
        "staff carry one bag at a time, close to the body",
    ):
        assert said in text
        assert text.index(said) < text.index("Who has which pot")


def test_each_person_to_call_has_a_frame_to_write_the_number_in() -> None:
    text = Print(substitute_pdf(paper(1), A4)).text()
    assert "Ines Halloran, head" in text
    assert "Joost Bakker, technician" in text
    assert "First aid, school office" in text
    assert text.count("Number") == 2


def test_a_class_without_students_says_so() -> None:
    read = Print(substitute_pdf(paper(0), A4))
    assert len(read.sizes_mm) == 1
    assert "Nobody is in this class yet." in read.text()
    assert "Who has which pot" not in read.text()
    assert "Thin plastic" not in read.text()
