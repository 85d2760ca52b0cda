"""Carrying on from the pot as it stands, with the teacher's consent."""

from collections.abc import Callable
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from planning.bench.judging import onward_outline
from planning.bench.measured import Measured
from studio.bench.models import CarryOn, CarryOnState
from studio.bench.selectors.rows import going
from studio.bench.services import (
    agree_to_carry_on,
    ask_to_carry_on,
    decline_to_carry_on,
    lay_rows,
    strike_out,
    take_back_asking,
)
from studio.bench.services.building import COMPUTATION
from studio.bench.services.rows import rows_standing
from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry, User
from studio.ware.services import lose_pots
from tests.cast import NOW, School, signed_in
from tests.studio.bench.pots import SOON, TOO_WIDE, asked, checked, laid
from tests.studio.ware.pots import a_pot

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def test_new_rows_run_from_the_measured_edge_to_the_plan_s_rim(cast: School) -> None:
    question = asked(cast, 4)
    rows = question.figures["rows"]
    assert [row["row"] for row in rows] == list(range(5, 5 + len(rows)))
    assert rows[-1]["height_mm"] == pytest.approx(200)
    assert rows[-1]["front_mm"] == pytest.approx(120)
    assert rows[0]["front_mm"] > going(question.pot).rows[5].front_mm
    assert question.standing == {"height_mm": 100.0, "front_mm": 206.0}
    assert question.computation == COMPUTATION
    assert question.figures["outline"][0] == pytest.approx([100, 103, 103], abs=0.5)
    assert str(question) == f"{question.pot} carries on after row 4"
    assert question.get_absolute_url() == f"/carry-ons/{question.pk}/"


def test_its_rows_hold_only_once_the_teacher_agreed(cast: School) -> None:
    question = asked(cast, 4)
    before = going(question.pot).rows
    agree_to_carry_on(asked=question, by=cast.teacher, at=SOON, note="Well seen.")
    after = going(question.pot)
    assert after.rows[:4] == before[:4]
    assert [row.height_mm for row in after.rows[4:]] == pytest.approx(
        [row["height_mm"] for row in question.figures["rows"]]
    )
    assert after.agreed == question
    kept = CarryOn.objects.get()
    assert (kept.state, kept.decided_by, kept.note) == ("agreed", cast.teacher, "Well seen.")
    said = AuditEntry.objects.filter(subject_id=str(kept.pk)).order_by("at")
    assert [entry.action for entry in said] == [
        "asked to carry on from here",
        "carrying on agreed",
    ]


def test_rows_that_nobody_noted_stand_with_the_question(cast: School) -> None:
    pot = a_pot(cast)
    check = checked(pot, cast.student)
    ask_to_carry_on(check=check, laid=5, by=cast.student, at=SOON)
    assert rows_standing(pot) == 5


def test_fewer_rows_than_stand_are_asked_about(cast: School) -> None:
    check = checked(laid(cast, 6), cast.student)
    with pytest.raises(Refused, match="6 rows stand already") as refused:
        ask_to_carry_on(check=check, laid=5, by=cast.student, at=SOON)
    assert refused.value.problems[0].field == "laid"
    for laid_rows in (0, 99):
        with pytest.raises(Refused, match="from 1 to 11"):
            ask_to_carry_on(check=check, laid=laid_rows, by=cast.student, at=SOON)


def test_an_answer_that_comes_while_new_rows_are_worked_out_counts(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = asked(cast, 4)
    check = checked(first.pot, cast.student, hours=2)

    def meanwhile(*of: Any) -> Any:
        agree_to_carry_on(asked=first, by=cast.teacher, at=SOON)
        return onward_outline(*of)

    monkeypatch.setattr("studio.bench.services.carrying_on.onward_outline", meanwhile)
    with pytest.raises(Conflict, match="Your teacher agreed to new rows just now"):
        ask_to_carry_on(check=check, laid=4, by=cast.student, at=SOON)


def test_it_is_asked_once_and_from_the_newest_check(cast: School) -> None:
    pot = laid(cast, 4)
    old, new = checked(pot, cast.student), checked(pot, cast.student, hours=2)
    with pytest.raises(Conflict, match="measured again since"):
        ask_to_carry_on(check=old, laid=4, by=cast.student, at=SOON)
    ask_to_carry_on(check=new, laid=4, by=cast.student, at=SOON)
    with pytest.raises(Conflict, match="You asked already"):
        ask_to_carry_on(check=new, laid=4, by=cast.student, at=SOON)


def test_from_one_check_it_is_carried_on_once(cast: School) -> None:
    question = asked(cast, 4)
    agree_to_carry_on(asked=question, by=cast.teacher, at=SOON)
    with pytest.raises(Conflict, match="You carry on from this check already"):
        ask_to_carry_on(check=question.check_made, laid=4, by=cast.student, at=SOON)


def test_from_a_struck_out_check_nobody_carries_on(cast: School) -> None:
    check = checked(laid(cast, 4), cast.student)
    strike_out(check=check, reason="Wrong", by=cast.student, at=SOON)
    with pytest.raises(Conflict, match="measured again since"):
        ask_to_carry_on(check=check, laid=4, by=cast.student, at=SOON)


def test_a_pot_far_off_its_plan_needs_a_new_plan(cast: School) -> None:
    check = checked(laid(cast, 4), cast.student, (Measured(100, "soft", front_mm=310),))
    with pytest.raises(Refused, match="too far off to carry on from") as refused:
        ask_to_carry_on(check=check, laid=4, by=cast.student, at=SOON)
    assert [each.field for each in refused.value.problems] == [""]


def test_only_teachers_of_the_class_answer_and_a_no_says_what_to_do(cast: School) -> None:
    question = asked(cast)
    for by in (cast.student, cast.technician, cast.other_teacher, cast.elsewhere.teacher):
        with pytest.raises(PermissionDenied):
            agree_to_carry_on(asked=question, by=by, at=SOON)
        with pytest.raises(PermissionDenied):
            decline_to_carry_on(asked=question, by=by, at=SOON, note="No.")
    with pytest.raises(Refused, match="what the student should do instead") as refused:
        decline_to_carry_on(asked=question, by=cast.teacher, at=SOON, note=" ")
    assert refused.value.problems[0].field == "note"
    kept = decline_to_carry_on(asked=question, by=cast.head, at=SOON, note="Cut the darts first.")
    assert (kept.state, kept.note) == (CarryOnState.DECLINED, "Cut the darts first.")


def test_what_is_answered_is_answered(cast: School) -> None:
    question = asked(cast)
    agree_to_carry_on(asked=question, by=cast.teacher, at=SOON)
    answers: list[Callable[[], CarryOn]] = [
        lambda: agree_to_carry_on(asked=question, by=cast.head, at=SOON),
        lambda: decline_to_carry_on(asked=question, by=cast.head, at=SOON, note="No."),
        lambda: take_back_asking(asked=question, by=cast.student, at=SOON),
    ]
    for answer in answers:
        with pytest.raises(Conflict, match="Somebody was faster: this is agreed already"):
            answer()


def test_a_question_is_taken_back_by_its_student(cast: School) -> None:
    question = asked(cast)
    with pytest.raises(PermissionDenied):
        take_back_asking(asked=question, by=cast.teacher, at=SOON)
    take_back_asking(asked=question, by=cast.student, at=SOON)
    assert lay_rows(pot=question.pot, row=5, by=cast.student, at=SOON) == 5
    again = checked(question.pot, cast.student, hours=2)
    ask_to_carry_on(check=again, laid=5, by=cast.student, at=SOON)


def test_whoever_carried_on_may_carry_on_once_more(cast: School) -> None:
    """Back to the plan's rim again, by the rows laid so far."""
    first = asked(cast, 4)
    agree_to_carry_on(asked=first, by=cast.teacher, at=SOON)
    lay_rows(pot=first.pot, row=6, by=cast.student, at=SOON)
    check = checked(first.pot, cast.student, (Measured(135, "soft", front_mm=170),), 5)
    second = ask_to_carry_on(check=check, laid=6, by=cast.student, at=check.at)
    agree_to_carry_on(asked=second, by=cast.teacher, at=check.at)
    way = going(first.pot)
    assert way.agreed == second
    assert [row.row for row in way.rows] == list(range(1, len(way.rows) + 1))
    heights = [row.height_mm for row in way.rows]
    assert heights == sorted(heights)
    assert heights[-1] == pytest.approx(200)


def test_today_names_the_questions_of_a_teacher_s_own_classes(cast: School) -> None:
    question = asked(cast)
    link = reverse("carry_on", args=[question.pk])

    def today(by: User) -> str:
        return signed_in(by).get(reverse("today")).content.decode()

    for by in (cast.teacher, cast.head):
        assert link in today(by)
    for by in (cast.other_teacher, cast.technician, cast.elsewhere.head):
        assert link not in today(by)
    lose_pots(pots=[question.pot], kind="broken", by=cast.teacher, at=NOW)
    assert link not in today(cast.teacher)


def test_a_lost_pot_is_not_carried_on(cast: School) -> None:
    question = asked(cast)
    lose_pots(pots=[question.pot], kind="broken", by=cast.teacher, at=NOW)
    with pytest.raises(Refused, match="is broken"):
        agree_to_carry_on(asked=question, by=cast.teacher, at=SOON)


def test_the_edge_is_the_highest_place(cast: School) -> None:
    measured = (Measured(60, "soft", front_mm=170), *TOO_WIDE)
    check = checked(laid(cast), cast.student, measured)
    question = ask_to_carry_on(check=check, laid=4, by=cast.student, at=SOON)
    assert question.standing["height_mm"] == 100
