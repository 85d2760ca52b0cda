"""Pots on the scale: finished and wet, or drying; and the studio's record of drying."""

from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied

from studio.errors import Refused
from studio.people.models import AuditEntry
from studio.ware.drying import ByWeight, Dried
from studio.ware.models import Pot, Weighing
from studio.ware.selectors.drying import drying_pots, drying_record, on_scale, thickest_of
from studio.ware.services import (
    Weighed,
    check_dryness,
    cover,
    weigh_built,
    weigh_drying,
    withdraw_greenware,
)
from tests.cast import NOW, School
from tests.studio.ware.pots import a_pot, check, move

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
    with pytest.raises(Refused, match="Type a weight between"):
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


def a_drying_pot(cast: School) -> Pot:
    pot = a_pot(cast)
    check(pot, cast.teacher)
    move(pot, "leather_hard", cast.teacher)
    return pot


def on_the_scale(pot: Pot, cast: School, grams: float, hours: float = 0.0, step: float = 1) -> str:
    """What the newest weighing says after this one; "" for a first one."""
    at = NOW + timedelta(hours=hours)
    weigh_drying(pot=pot, grams=grams, step_g=step, by=cast.technician, at=at)
    said = on_scale([pot])[pot.pk].said
    return said or ""


def test_a_pot_that_loses_nothing_in_a_day_is_air_dry_and_still_candled(cast: School) -> None:
    pot = a_drying_pot(cast)
    assert on_the_scale(pot, cast, 1700) == ""
    assert on_the_scale(pot, cast, 1695, 2) == ByWeight.TOO_SOON
    assert on_the_scale(pot, cast, 1680, 24) == ByWeight.LOSING
    assert on_the_scale(pot, cast, 1679, 48) == ByWeight.AIR_DRY
    assert on_scale([pot])[pot.pk].lost_g == 1
    assert on_the_scale(pot, cast, 1690, 72) == ByWeight.GAINED
    # A hand's check in between moves no stage of its own.
    assert Pot.objects.get(pk=pot.pk).stage == "leather_hard"


def test_weights_from_before_the_greenware_check_dont_count(cast: School) -> None:
    pot = a_drying_pot(cast)
    on_the_scale(pot, cast, 1700)
    withdraw_greenware(pot=pot, by=cast.teacher, at=NOW, reason="A handle was added.")
    check(pot, cast.teacher, at=NOW + timedelta(hours=1))
    assert on_scale([pot]) == {}


@pytest.mark.parametrize(
    ("grams", "step_g", "field", "words"),
    [
        (
            1700,
            2,
            "step_g",
            r"steps of 2\sg can't tell .* it has to show a thousandth of it, 1.7\sg",
        ),
        (1700, None, "step_g", "Say in which steps the scale shows its weight"),
        (1700, float("nan"), "step_g", "Say in which steps the scale shows its weight"),
        (1, 1, "grams", "Type a weight between"),
    ],
)
def test_a_scale_that_cant_tell_is_refused(
    grams: float, step_g: float | None, field: str, words: str, cast: School
) -> None:
    pot = a_drying_pot(cast)
    with pytest.raises(Refused, match=words) as refused:
        weigh_drying(pot=pot, grams=grams, step_g=step_g, by=cast.technician, at=NOW)
    assert refused.value.problems[0].field == field
    assert not Weighing.objects.exists()


def test_a_wet_a_wrapped_and_an_unchecked_pot_are_not_weighed_for_it(cast: School) -> None:
    pot = a_pot(cast)

    def refused() -> str:
        with pytest.raises(Refused) as refusal:
            weigh_drying(pot=pot, grams=1700, step_g=1, by=cast.technician, at=NOW)
        return str(refusal.value)

    assert "is wet; a pot is weighed between leather-hard and the bisque" in refused()
    move(pot, "leather_hard", cast.teacher)
    assert "has no greenware check" in refused()
    cover(pots=[pot], by=cast.teacher, at=NOW)
    assert "is wrapped. Let it stand open for a day" in refused()
    with pytest.raises(PermissionDenied):
        weigh_drying(pot=pot, grams=1700, step_g=1, by=cast.other_teacher, at=NOW)


def test_the_record_counts_days_from_the_greenware_check_to_the_first_air_dry(
    cast: School,
) -> None:
    pot = a_drying_pot(cast)
    for days, air_dry in ((2, False), (6, True), (9, True)):
        check_dryness(pots=[pot], air_dry=air_dry, by=cast.teacher, at=NOW + timedelta(days=days))
    now = NOW + timedelta(days=10)
    assert drying_record(cast.studio, now=now) == [Dried(14, 6)]
    assert drying_record(cast.elsewhere.studio, now=now) == []
    assert drying_record(cast.studio, now=NOW + timedelta(days=4 * 365)) == []
    [drying] = drying_pots([pot], cast.studio, now=now)
    assert (drying.days, drying.expected.is_rule, drying.is_due) == (10, True, False)
    assert thickest_of([drying]) == [drying]
