"""A mistake is taken back by its reverse."""

import pytest
from django.core.exceptions import PermissionDenied

from studio.clay.models import Entry
from studio.clay.selectors.pots import clay_of
from studio.clay.services import (
    correct,
    issue_to_class,
    issue_to_table,
    reclaim,
    return_bucket,
    return_clay,
)
from studio.errors import Conflict, Refused
from tests.cast import NOW, School
from tests.studio.clay.room import a_lot, a_pot, issued, left_g, the_body

pytestmark = pytest.mark.both_databases


def take_back(cast: School, entry: Entry, reason: str = "wrong lot") -> Entry:
    return correct(entry=entry, reason=reason, by=cast.head, at=NOW)


def test_an_issue_is_taken_back_once(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    entry = issued(cast, pot, lot, 3000)
    made = take_back(cast, entry)
    assert (made.kind, made.grams, made.reverses, made.pot) == ("correction", 3000, entry, pot)
    assert made.reason == "wrong lot"
    assert left_g(lot) == 25_000
    assert clay_of([pot]) == {}
    with pytest.raises(Conflict, match="This entry was corrected already"):
        take_back(cast, entry)
    with pytest.raises(Refused, match="A correction is not corrected"):
        take_back(cast, made)
    assert left_g(lot) == 25_000


def test_a_correction_keeps_for_whom_it_was(cast: School) -> None:
    lot = a_lot(cast)
    table = issue_to_table(table="4", lot=lot, grams=500, by=cast.head, at=NOW)
    section = issue_to_class(section=cast.section, lot=lot, grams=500, by=cast.head, at=NOW)
    assert take_back(cast, table).table == "4"
    assert take_back(cast, section).section == cast.section


def test_a_correction_says_why(cast: School) -> None:
    a_lot(cast)
    with pytest.raises(Refused, match="Write what happened"):
        take_back(cast, Entry.objects.get(), reason=" ")


def test_a_delivery_of_which_clay_has_gone_out_is_not_taken_back(cast: School) -> None:
    lot = a_lot(cast)
    entry = issue_to_class(section=cast.section, lot=lot, grams=5000, by=cast.head, at=NOW)
    delivery = Entry.objects.get(kind="delivery")
    with pytest.raises(Refused) as refused:
        take_back(cast, delivery)
    assert str(refused.value) == (
        "25.0\u00a0kg of this are needed in Grogged stoneware Note 2207, where only 20.0\u00a0kg "
        "are left: some of it has gone out since. Correct those entries first."
    )
    take_back(cast, entry)
    take_back(cast, delivery)
    assert left_g(lot) == 0


def test_an_issue_is_not_taken_back_under_clay_that_came_back(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    entry = issued(cast, pot, lot, 3000)
    back = return_clay(pot=pot, lot=lot, grams=400, by=cast.teacher, at=NOW)
    with pytest.raises(Refused, match="Correct that return first"):
        take_back(cast, entry)
    take_back(cast, back)
    take_back(cast, entry)
    assert left_g(lot) == 25_000


def test_both_halves_of_a_reclaim_go_back_together(cast: School) -> None:
    returned = return_bucket(
        section=cast.section, body=the_body(cast), grams=6000, by=cast.head, at=NOW
    ).lot
    made = reclaim(returned_lot=returned, taken_g=6000, ready_g=5000, by=cast.head, at=NOW)
    out, into = Entry.objects.filter(kind="reclaim").order_by("grams")
    correction = take_back(cast, into)
    assert correction.reverses == into
    assert (left_g(returned), left_g(made)) == (6000, 0)
    for half in (out, into):
        with pytest.raises(Conflict, match="corrected already"):
            take_back(cast, half)


def test_a_reclaim_of_which_clay_has_gone_out_stays(cast: School) -> None:
    returned = return_bucket(
        section=cast.section, body=the_body(cast), grams=6000, by=cast.head, at=NOW
    ).lot
    made = reclaim(returned_lot=returned, taken_g=6000, ready_g=5000, by=cast.head, at=NOW)
    issue_to_class(section=cast.section, lot=made, grams=100, by=cast.head, at=NOW)
    with pytest.raises(Refused, match=r"only 4\.90\u00a0kg are left"):
        take_back(cast, Entry.objects.get(kind="reclaim", made_from=None))
    assert (left_g(returned), left_g(made)) == (0, 4900)


def test_what_is_not_theirs_is_not_put_right(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    entry = issued(cast, pot, lot)
    for person in (cast.other_teacher, cast.student, cast.elsewhere.head):
        with pytest.raises(PermissionDenied):
            correct(entry=entry, reason="wrong", by=person, at=NOW)
    correct(entry=entry, reason="wrong", by=cast.teacher, at=NOW)
