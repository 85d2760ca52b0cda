"""Clay for a pot, a class, a table."""

from unittest.mock import patch

import pytest
from django.core.exceptions import PermissionDenied

from studio.clay.models import Entry, Lot
from studio.clay.services import (
    issue_clay,
    issue_to_class,
    issue_to_table,
    posting,
    record_talk,
    return_bucket,
    set_talk_rule,
)
from studio.errors import Refused
from studio.ware.models import Pot, Stage
from tests.cast import NOW, TODAY, School
from tests.planning.projects import a_body
from tests.studio.clay.room import a_lot, a_pot, issued, left_g, the_body

pytestmark = pytest.mark.both_databases


def test_a_pot_gets_clay_and_the_entry_keeps_what_its_plan_asked_for(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    entry = issued(cast, pot, lot, 2400)
    assert (entry.grams, entry.balance_after_g, entry.pot) == (-2400, 22_600, pot)
    assert entry.planned_g == pot.plan.issue_g is not None
    assert left_g(lot) == 22_600


def test_the_last_of_a_lot_goes_out_to_the_gram_and_no_more(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast, bags=1, bag_g=2300)
    with pytest.raises(Refused) as refused:
        issued(cast, pot, lot, 3000)
    assert str(refused.value) == (
        "There are 2.30\u00a0kg left of Grogged stoneware Note 2207; you asked for 3.00\u00a0kg. "
        "Take the rest from another lot."
    )
    issued(cast, pot, lot, 2300)
    assert left_g(lot) == 0
    with pytest.raises(Refused, match="Nothing is left of Grogged stoneware Note 2207"):
        issued(cast, pot, lot, 1)


def test_weights_that_look_alike_on_the_studios_scale_are_said_in_grams(cast: School) -> None:
    lot = a_lot(cast, bags=1, bag_g=12_341)
    with pytest.raises(Refused) as refused:
        issue_to_class(section=cast.section, lot=lot, grams=12_345, by=cast.head, at=NOW)
    assert "There are 12341\u00a0g left" in str(refused.value)


def test_the_tables_own_check_says_the_same_sentence(cast: School) -> None:
    """The last line of defence, should a lock ever be lost: the lot seems full and isn't."""
    lot = a_lot(cast, bags=1, bag_g=2300)
    stale = Lot.objects.select_related("studio", "body").get(pk=lot.pk)
    issue_to_class(section=cast.section, lot=lot, grams=2000, by=cast.head, at=NOW)
    with (
        patch.object(posting, "locked_lots", return_value={lot.pk: stale}),
        pytest.raises(Refused, match=r"There are 0\.30\u00a0kg left of .* you asked for 1\.00"),
    ):
        issue_to_class(section=cast.section, lot=lot, grams=1000, by=cast.head, at=NOW)
    assert left_g(lot) == 300
    assert Entry.objects.count() == 2


def test_a_class_and_a_table_get_clay(cast: School) -> None:
    lot = a_lot(cast)
    for_class = issue_to_class(section=cast.section, lot=lot, grams=5000, by=cast.teacher, at=NOW)
    table = issue_to_table(table=" By the sink ", lot=lot, grams=500, by=cast.teacher, at=NOW)
    assert (for_class.section, for_class.grams) == (cast.section, -5000)
    assert (table.table, table.grams, left_g(lot)) == ("By the sink", -500, 19_500)


@pytest.mark.parametrize("table", ["", "  ", "x" * 41])
def test_a_table_has_a_name_that_fits(table: str, cast: School) -> None:
    with pytest.raises(Refused, match="Say which table, in at most 40 characters"):
        issue_to_table(table=table, lot=a_lot(cast), grams=500, by=cast.teacher, at=NOW)


def test_a_teacher_hands_out_to_their_own_classes_a_technician_to_all(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    for person in (cast.other_teacher, cast.student, cast.elsewhere.head, cast.nobody):
        with pytest.raises(PermissionDenied):
            issue_clay(pot=pot, lot=lot, grams=100, by=person, at=NOW)
        with pytest.raises(PermissionDenied):
            issue_to_class(section=cast.section, lot=lot, grams=100, by=person, at=NOW)
    for person in (cast.student, cast.elsewhere.technician, cast.nobody):
        with pytest.raises(PermissionDenied):
            issue_to_table(table="4", lot=lot, grams=100, by=person, at=NOW)
    issue_clay(pot=pot, lot=lot, grams=100, by=cast.technician, at=NOW)
    issue_to_class(section=cast.other_section, lot=lot, grams=100, by=cast.technician, at=NOW)
    issue_to_table(table="4", lot=lot, grams=100, by=cast.other_teacher, at=NOW)


def test_a_lot_of_another_studio_is_not_touched(cast: School) -> None:
    there = a_lot(
        cast, studio=cast.elsewhere.studio, body=a_body(cast.elsewhere.head), by=cast.elsewhere.head
    )
    with pytest.raises(PermissionDenied):
        issue_clay(pot=a_pot(cast), lot=there, grams=100, by=cast.head, at=NOW)
    assert left_g(there) == 25_000


def test_clay_that_came_back_is_reclaimed_before_it_goes_out(cast: School) -> None:
    returned = return_bucket(
        section=cast.section, body=the_body(cast), grams=900, by=cast.head, at=NOW
    ).lot
    with pytest.raises(Refused, match="is to be reclaimed first") as refused:
        issue_to_class(section=cast.section, lot=returned, grams=100, by=cast.head, at=NOW)
    assert refused.value.problems[0].field == "lot"


def test_a_pot_gets_the_body_that_its_plan_was_computed_for(cast: School) -> None:
    pot = a_pot(cast)
    other = a_lot(cast, body=a_body(cast.teacher, name="White earthenware"))
    with pytest.raises(Refused, match="computed for Grogged stoneware, and this lot is White"):
        issued(cast, pot, other)
    assert left_g(other) == 25_000


@pytest.mark.parametrize(
    ("state", "words"),
    [
        ({"stage": Stage.BONE_DRY}, "is bone dry and takes no more clay"),
        ({"lost": "broken"}, "is broken. Another pot of the same piece is begun first"),
    ],
)
def test_a_pot_that_is_dry_or_broken_gets_no_clay(
    state: dict[str, str], words: str, cast: School
) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    Pot.objects.filter(pk=pot.pk).update(**state)
    with pytest.raises(Refused, match=words):
        issued(cast, pot, lot)


def test_a_handle_at_leather_hard_still_gets_clay(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    Pot.objects.filter(pk=pot.pk).update(stage=Stage.LEATHER_HARD)
    assert issued(cast, pot, lot, 150).grams == -150


def test_with_the_rule_on_clay_waits_for_the_safety_talk(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    set_talk_rule(studio=cast.studio, talk_first=True, by=cast.head)
    with pytest.raises(Refused) as refused:
        issued(cast, pot, lot)
    assert str(refused.value) == (
        "Ode A. has no safety talk on record. Hold it, record it on the page of talks, then issue."
    )
    record_talk(students=[cast.student], on=TODAY, by=cast.teacher, at=NOW)
    assert issued(cast, pot, lot).grams == -3000
