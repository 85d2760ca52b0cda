"""Rows that stand, and the wall that the first of them mean."""

import pytest

from planning.services.plans import approve
from studio.bench.models import RowLaid, WallMeasure
from studio.bench.selectors.rows import going
from studio.bench.services import (
    agree_to_carry_on,
    decline_to_carry_on,
    lay_rows,
    measure_wall,
    take_back_row,
)
from studio.bench.services.rows import rows_standing
from studio.errors import Conflict, Refused
from studio.ware.models import Pot
from studio.ware.services import begin_pot, lose_pots
from tests.cast import NOW, School
from tests.planning.work import a_piece_with_a_plan
from tests.studio.bench.pots import SOON, agreed_before, asked, laid
from tests.studio.ware.pots import a_pot, again, check, dried

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def numbers(pot: Pot) -> list[int]:
    standing = RowLaid.objects.standing().filter(pot=pot)
    return list(standing.order_by("row").values_list("row", flat=True))


def test_rows_up_to_the_one_that_is_said_stand_with_who_and_when(cast: School) -> None:
    pot = a_pot(cast)
    assert lay_rows(pot=pot, row=3, by=cast.student, at=NOW) == 3
    assert lay_rows(pot=pot, row=4, by=cast.technician, at=SOON) == 4
    rows = RowLaid.objects.standing().filter(pot=pot)
    assert [(each.row, each.by, each.at) for each in rows] == [
        *((row, cast.student, NOW) for row in (1, 2, 3)),
        (4, cast.technician, SOON),
    ]


def test_a_row_that_stands_is_not_laid_again(cast: School) -> None:
    pot = laid(cast, 3)
    assert lay_rows(pot=pot, row=2, by=cast.student, at=SOON) == 3
    assert lay_rows(pot=pot, row=3, by=cast.student, at=SOON) == 3
    assert RowLaid.objects.filter(at=SOON).count() == 0


def test_only_rows_of_the_list_are_laid(cast: School) -> None:
    pot = a_pot(cast)
    for row in (0, 12, 300):
        with pytest.raises(Refused, match=r"The list has 11 rows\. Choose one of them\."):
            lay_rows(pot=pot, row=row, by=cast.student, at=NOW)
    assert numbers(pot) == []


def test_the_highest_row_is_taken_back_and_stays_to_be_read(cast: School) -> None:
    pot = laid(cast, 3)
    assert take_back_row(pot=pot, row=3, by=cast.student, at=SOON) == 2
    assert take_back_row(pot=pot, row=3, by=cast.student, at=SOON) == 2
    assert numbers(pot) == [1, 2]
    gone = RowLaid.objects.get(pot=pot, row=3)
    assert (gone.undone_by, gone.undone_at, str(gone)) == (cast.student, SOON, f"{pot} row 3")
    lay_rows(pot=pot, row=3, by=cast.student, at=SOON)
    assert RowLaid.objects.filter(pot=pot, row=3).count() == 2


def test_a_row_under_another_stays(cast: School) -> None:
    pot = laid(cast, 3)
    with pytest.raises(Conflict, match="Row 3 stands on it"):
        take_back_row(pot=pot, row=2, by=cast.student, at=NOW)


def test_rows_wait_while_new_ones_are_asked_for(cast: School) -> None:
    pot = asked(cast, 4).pot
    with pytest.raises(Conflict, match="your teacher has not answered yet"):
        lay_rows(pot=pot, row=5, by=cast.student, at=SOON)
    with pytest.raises(Conflict, match="your teacher has not answered yet"):
        take_back_row(pot=pot, row=4, by=cast.student, at=SOON)
    assert lay_rows(pot=pot, row=4, by=cast.student, at=SOON) == 4


def test_the_row_that_new_rows_begin_on_stays(cast: School) -> None:
    question = asked(cast, 4)
    agree_to_carry_on(asked=question, by=cast.teacher, at=SOON)
    lay_rows(pot=question.pot, row=5, by=cast.student, at=SOON)
    assert take_back_row(pot=question.pot, row=5, by=cast.student, at=SOON) == 4
    with pytest.raises(Conflict, match="The new rows begin on row 4, so it stays"):
        take_back_row(pot=question.pot, row=4, by=cast.student, at=SOON)


def test_a_no_leaves_the_rows_as_they_were(cast: School) -> None:
    question = asked(cast, 4)
    before = going(question.pot).rows
    decline_to_carry_on(asked=question, by=cast.teacher, at=SOON, note="Cut the darts first.")
    assert going(question.pot).rows == before
    assert lay_rows(pot=question.pot, row=5, by=cast.student, at=SOON) == 5


def test_nothing_is_laid_on_a_pot_that_is_lost_checked_or_dry(cast: School) -> None:
    broken, checked_pot, dry = (a_pot(cast, title) for title in ("Broken", "Checked", "Dry"))
    lose_pots(pots=[broken], kind="broken", by=cast.teacher, at=NOW)
    check(checked_pot, cast.teacher)
    dried(dry, cast.teacher)
    for pot, said in (
        (broken, "is broken"),
        (checked_pot, "had its greenware check; building has ended"),
    ):
        with pytest.raises(Refused, match=said):
            lay_rows(pot=again(pot), row=1, by=cast.student, at=NOW)
    Pot.objects.filter(pk=dry.pk).update(stage="bone_dry")
    with pytest.raises(Conflict, match="is bone dry; building has ended"):
        lay_rows(pot=again(dry), row=1, by=cast.student, at=NOW)


def test_another_pot_of_the_same_piece_starts_anew_by_its_own_plan(cast: School) -> None:
    pot = laid(cast, 5)
    lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=NOW)
    second = begin_pot(piece=pot.piece, by=cast.teacher, at=SOON)
    assert rows_standing(second) == 0
    assert lay_rows(pot=second, row=1, by=cast.student, at=SOON) == 1


# --- the wall


def test_a_height_as_planned_means_the_planned_wall(cast: School) -> None:
    pot = laid(cast, 3)
    height = going(pot).rows[2].height_mm
    measure = measure_wall(pot=pot, height_mm=height, after_row=3, by=cast.student, at=NOW)
    assert measure.wall_mm == pytest.approx(8, abs=0.05)
    assert measure.said["code"] == "wall_as_planned"
    assert str(measure) == f"{pot} wall after row 3"


def test_a_lower_wall_is_a_thicker_one(cast: School) -> None:
    """The same clay stands lower where the wall is thicker (conservation of volume)."""
    pot = laid(cast, 3)
    height = going(pot).rows[2].height_mm
    measure = measure_wall(pot=pot, height_mm=height - 12, after_row=3, by=cast.student, at=NOW)
    assert measure.wall_mm > 9.5
    assert measure.said["code"] == "wall_thicker"


def test_a_wall_is_measured_on_rows_that_stand(cast: School) -> None:
    pot = laid(cast, 2)
    with pytest.raises(Conflict, match="Row 3 does not stand yet"):
        measure_wall(pot=pot, height_mm=60, after_row=3, by=cast.student, at=NOW)
    with pytest.raises(Refused, match=r"lies between 1\.0\xa0cm and 20\.0\xa0cm") as refused:
        measure_wall(pot=pot, height_mm=300, after_row=2, by=cast.student, at=NOW)
    assert refused.value.problems[0].field == "height_mm"
    with pytest.raises(Refused, match="The plan has 11 rows only"):
        measure_wall(pot=pot, height_mm=60, after_row=12, by=cast.student, at=NOW)
    assert not WallMeasure.objects.exists()


def test_new_rows_end_the_question_of_the_wall(cast: School) -> None:
    question = asked(cast, 4)
    agree_to_carry_on(asked=question, by=cast.teacher, at=SOON)
    with pytest.raises(Conflict, match="You carry on by new rows"):
        measure_wall(pot=question.pot, height_mm=80, after_row=4, by=cast.student, at=SOON)


def test_a_consent_that_comes_while_a_wall_is_worked_out_counts(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    question = asked(cast, 4)
    agreed_before("studio.bench.services.rows.wall_meant", question, cast, monkeypatch)
    with pytest.raises(Conflict, match="Your teacher agreed to new rows just now"):
        measure_wall(pot=question.pot, height_mm=80, after_row=4, by=cast.student, at=SOON)
    assert not WallMeasure.objects.exists()


def test_a_plan_that_was_sent_before_rows_were_kept_has_its_rows_all_the_same(cast: School) -> None:
    plan = a_piece_with_a_plan(cast, "An old plan")
    approve(plan=plan, by=cast.teacher, at=NOW)
    figures = {name: value for name, value in (plan.figures or {}).items() if name != "rows"}
    type(plan).objects.filter(pk=plan.pk).update(figures=figures)
    pot = begin_pot(piece=plan.piece, by=cast.teacher, at=NOW)
    assert lay_rows(pot=pot, row=1, by=cast.student, at=NOW) == 1
