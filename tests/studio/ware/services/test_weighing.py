"""Finished pots on the scale."""

import pytest
from django.core.exceptions import PermissionDenied

from studio.errors import Refused
from studio.people.models import AuditEntry
from studio.ware.models import Pot, Weighing
from studio.ware.services import Weighed, weigh_built
from tests.cast import NOW, School
from tests.studio.ware.pots import a_pot, move

pytestmark = pytest.mark.both_databases


def test_a_finished_wet_pot_is_weighed_and_the_line_says_who(cast: School) -> None:
    pot = a_pot(cast)
    [made] = weigh_built(rows=[Weighed(pot, 2200)], by=cast.technician, at=NOW)
    assert (made.grams, made.weighed_as, made.by) == (2200, "built", cast.technician)
    line = AuditEntry.objects.get(action="finished pot weighed")
    assert (line.by, line.subject_id, line.after) == (
        cast.technician,
        str(pot.pk),
        {"grams": 2200},
    )


@pytest.mark.parametrize("grams", [0.0, 19.0, 60_001.0, float("nan"), float("inf")])
def test_a_weight_that_no_pot_has_is_refused(grams: float, cast: School) -> None:
    with pytest.raises(Refused, match="Type a weight between 0.02\u00a0kg and 60.0\u00a0kg"):
        weigh_built(rows=[Weighed(a_pot(cast), grams)], by=cast.teacher, at=NOW)


def test_a_slip_of_the_unit_is_asked_about_and_nothing_is_kept(cast: School) -> None:
    one, other = a_pot(cast), a_pot(cast, "Another", cast.classmate)
    planned_g = one.plan.pot_wet_g or 0
    rows = [Weighed(one, planned_g), Weighed(other, planned_g * 10)]
    with pytest.raises(Refused, match="Weigh it without its board, and check the unit") as refused:
        weigh_built(rows=rows, by=cast.teacher, at=NOW)
    assert refused.value.problems[0].field == "rows.1.grams"
    assert not Weighing.objects.exists()


def test_a_pot_that_stiffened_or_broke_is_not_weighed_wet(cast: School) -> None:
    pot = a_pot(cast)
    move(pot, "leather_hard", cast.teacher)
    with pytest.raises(Refused, match="is leather-hard and has lost water since"):
        weigh_built(rows=[Weighed(pot, 2200)], by=cast.teacher, at=NOW)
    Pot.objects.filter(pk=pot.pk).update(lost="broken")
    with pytest.raises(Refused, match="is broken"):
        weigh_built(rows=[Weighed(pot, 2200)], by=cast.teacher, at=NOW)


def test_at_least_one_pot_and_of_ones_own_classes(cast: School) -> None:
    with pytest.raises(Refused, match="Weigh at least one pot"):
        weigh_built(rows=[], by=cast.teacher, at=NOW)
    rows = [Weighed(a_pot(cast), 2200)]
    for person in (cast.other_teacher, cast.student, cast.elsewhere.head):
        with pytest.raises(PermissionDenied):
            weigh_built(rows=rows, by=person, at=NOW)
