"""Carrying on as student and teacher read it; where the bench is linked and seen on shelves."""

import re

import pytest
from django.urls import reverse
from django.utils import timezone

from studio.bench.models import CarryOn
from studio.bench.services import agree_to_carry_on, decline_to_carry_on
from studio.ware.models import Pot
from tests.cast import NOW, School, signed_in
from tests.studio.bench.pots import SOON, asked, checked, laid
from tests.studio.bench.reading import page, post, words
from tests.studio.ware.pots import a_pot

pytestmark = pytest.mark.django_db


def test_carrying_on_is_offered_after_every_check(cast: School) -> None:
    kept = checked(a_pot(cast), cast.student)
    html = signed_in(cast.student).get(reverse("build_check", args=[kept.pk])).content.decode()
    assert "a new row list from its edge at 10.0 cm" in words(html)
    assert re.search(r'name="laid" value="[56]"', html)  # nobody noted a row: by the height
    later = checked(kept.pot, cast.student, hours=2)
    assert "carry on from the newest check" in page(cast.student, "build_check", kept.pk)
    answer = post(cast.student, "carry_on_ask", later.pk, laid="99")
    assert "from 1 to 11" in words(answer.content.decode())
    answer = post(cast.student, "carry_on_ask", later.pk, laid="5")
    question = CarryOn.objects.get()
    assert answer["Location"] == reverse("carry_on", args=[question.pk])
    assert "New rows wait for your teacher's answer." in page(cast.student, "build_check", later.pk)


def test_the_teacher_sees_both_pictures_and_the_new_rows_and_agrees(cast: School) -> None:
    question = asked(cast, 4)
    today = page(cast.teacher, "today")
    assert "1 student asks to carry on from here" in today
    html = signed_in(cast.teacher).get(reverse("carry_on", args=[question.pk])).content.decode()
    text = words(html)
    assert html.count('class="checked-drawing"') == 2
    assert html.count('class="onward"') == 1
    assert re.search(r"6 rows of coils 1\.\d cm thick\. Before, 7 were left, 1\.4 cm thick\.", text)
    assert "Yes, by these rows" in text
    answer = post(cast.teacher, "carry_on_answer", question.pk, do="agree", note="Well seen.")
    assert answer["Location"] == reverse("bench", args=[question.pot_id])
    text = page(cast.student, "bench", question.pot_id)
    assert "Tomas Lindqvist agreed: after row 4 you carry on by new rows. “Well seen.”" in text
    assert "asks to carry on" not in page(cast.teacher, "today")
    assert "Agreed, Tomas Lindqvist" in page(cast.student, "carry_on", question.pk)
    again = post(cast.head, "carry_on_answer", question.pk, do="decline", note="No")
    assert "Somebody was faster: this is agreed already." in words(again.content.decode())


def test_a_no_needs_a_note_and_is_read_by_the_student(cast: School) -> None:
    question = asked(cast)
    text = words(post(cast.teacher, "carry_on_answer", question.pk, do="decline").content.decode())
    assert "Write what the student should do instead." in text
    decline_to_carry_on(asked=question, by=cast.teacher, at=SOON, note="Cut the darts first.")
    text = page(cast.student, "bench", question.pot_id)
    assert "did not agree to new rows. “Cut the darts first.”" in text
    assert "Your answer" not in page(cast.teacher, "carry_on", question.pk)


def test_while_a_question_waits_no_row_is_offered(cast: School) -> None:
    question = asked(cast)
    text = page(cast.student, "bench", question.pot_id)
    assert "You asked to carry on from here." in text
    assert "Row 5 stands" not in text
    assert "Ode A. asks to carry on from here." in page(cast.teacher, "bench", question.pot_id)
    assert "Take the question back" in page(cast.student, "carry_on", question.pk)
    assert "Take the question back" not in page(cast.teacher, "carry_on", question.pk)
    post(cast.student, "carry_on_take_back", question.pk)
    assert "Row 5 stands" in page(cast.student, "bench", question.pot_id)


def test_an_agreed_outline_is_drawn_on_the_bench_and_under_later_checks(cast: School) -> None:
    question = asked(cast)
    agree_to_carry_on(asked=question, by=cast.teacher, at=SOON)
    kept = checked(question.pot, cast.student, hours=3)
    assert page(cast.student, "bench", question.pot_id)
    text = page(cast.student, "build_check", kept.pk)
    assert "planned 19.0 cm" in text  # at the edge itself the plan counts
    assert "Ask to carry on from here" in text


# --- where it is linked


def test_the_pot_s_page_and_the_path_lead_to_the_bench(cast: School) -> None:
    pot = a_pot(cast)
    link = f'href="{reverse("bench", args=[pot.pk])}"'
    for name, of in (("pot", pot.pk), ("piece", pot.piece_id)):
        html = signed_in(cast.student).get(reverse(name, args=[of])).content.decode()
        assert link in html
        assert "At the bench" in html


def test_a_class_s_shelves_show_rows_done_and_how_far_the_lesson_goes(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOW)
    pot = laid(cast, 2)
    client = signed_in(cast.teacher)
    shelves = client.get(reverse("class", args=[cast.section.pk])).content.decode()
    assert "row 2 of 11" in words(shelves)
    assert "by today here" in words(shelves)
    assert 'class="by-lesson"' in shelves
    shown = client.get(reverse("class_shown", args=[cast.section.pk])).content.decode()
    assert "row 2 of 11" not in words(shown)
    Pot.objects.filter(pk=pot.pk).update(stage="bone_dry")
    shelves = client.get(reverse("class", args=[cast.section.pk])).content.decode()
    assert 'class="by-lesson"' not in shelves


def test_a_pot_that_carries_on_has_its_new_line_and_rows_on_the_shelf(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOW)
    question = asked(cast, 4)
    client = signed_in(cast.teacher)
    shelves = client.get(reverse("class", args=[cast.section.pk])).content.decode()
    assert "Asks to carry on from here" in words(shelves)
    agree_to_carry_on(asked=question, by=cast.teacher, at=SOON)
    shelves = client.get(reverse("class", args=[cast.section.pk])).content.decode()
    assert "Asks to carry on" not in words(shelves)
    total = 4 + len(question.figures["rows"])
    assert f"row 4 of {total}" in words(shelves)
    assert 'class="by-lesson"' in shelves
