"""On which paper a print is made, and how it is answered."""

import pytest
from django.test import RequestFactory

from studio.web.printing import paper_asked, pdf_answer


@pytest.mark.parametrize(
    ("asked", "usual", "paper"),
    [
        ({}, "a4", "a4"),
        ({}, "letter", "letter"),
        ({"paper": "letter"}, "a4", "letter"),
        ({"paper": "a4"}, "letter", "a4"),
        ({"paper": "A4 landscape"}, "letter", "letter"),
    ],
)
def test_a_paper_that_is_asked_for_goes_before_the_usual_one(
    asked: dict[str, str], usual: str, paper: str
) -> None:
    assert paper_asked(RequestFactory().get("/", asked), usual) == paper


def test_a_print_opens_in_the_browser_and_no_cache_keeps_it() -> None:
    answer = pdf_answer(b"%PDF-1.4", "base-labels")
    assert answer.content == b"%PDF-1.4"
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'inline; filename="base-labels.pdf"'
    assert answer["Cache-Control"] == "no-store, private"
