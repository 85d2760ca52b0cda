"""Two people at the same pot at the same moment."""

import pytest

from studio.bench.models import CarryOn, RowLaid
from studio.bench.services import (
    agree_to_carry_on,
    ask_to_carry_on,
    decline_to_carry_on,
    lay_rows,
    take_back_asking,
    take_back_row,
)
from tests.cast import NOW, School
from tests.studio.bench.pots import SOON, asked, checked, laid
from tests.studio.ware.pots import a_pot
from tests.studio.ware.services.test_races import at_once

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]


def test_two_consents_are_one(cast: School) -> None:
    question = asked(cast)
    said = at_once(
        *(
            lambda by=by: agree_to_carry_on(asked=question, by=by, at=SOON)
            for by in (cast.teacher, cast.head)
        )
    )
    assert said == ["", "Somebody was faster: this is agreed already."]
    assert CarryOn.objects.agreed().count() == 1


def test_a_yes_a_no_and_a_student_who_takes_it_back_are_one_answer(cast: School) -> None:
    question = asked(cast)
    said = at_once(
        lambda: agree_to_carry_on(asked=question, by=cast.teacher, at=SOON),
        lambda: decline_to_carry_on(asked=question, by=cast.head, at=SOON, note="Cut darts."),
        lambda: take_back_asking(asked=question, by=cast.student, at=SOON),
    )
    state = CarryOn.objects.get().get_state_display()
    assert said == ["", *[f"Somebody was faster: this is {state} already."] * 2]


def test_a_row_that_is_tapped_several_times_stands_once(cast: School) -> None:
    pot = a_pot(cast)
    said = at_once(
        *[lambda: lay_rows(pot=pot, row=2, by=cast.student, at=NOW) for _tap in range(4)]
    )
    assert said == [""] * 4
    assert sorted(RowLaid.objects.values_list("row", flat=True)) == [1, 2]


def test_a_row_is_taken_back_once(cast: School) -> None:
    pot = laid(cast, 3)
    said = at_once(
        *[lambda: take_back_row(pot=pot, row=3, by=cast.student, at=NOW) for _tap in range(3)]
    )
    assert said == [""] * 3
    assert RowLaid.objects.standing().count() == 2
    assert RowLaid.objects.exclude(undone_at=None).count() == 1


def test_it_is_asked_once(cast: School) -> None:
    check = checked(laid(cast, 4), cast.student)
    said = at_once(
        *[
            lambda: ask_to_carry_on(check=check, laid=4, by=cast.student, at=SOON)
            for _tap in range(3)
        ]
    )
    assert said[0] == ""
    assert all(each.startswith("You asked already") for each in said[1:])
    assert CarryOn.objects.count() == 1
