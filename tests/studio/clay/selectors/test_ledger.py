"""The part of the ledger that somebody asks for."""

import pytest

from studio.clay.models import Entry
from studio.clay.selectors.ledger import came_and_went, correctable, ledger
from studio.clay.selectors.talks import talks_of
from studio.clay.services import correct, issue_to_class, record_talk
from studio.ware.models import Pot
from tests.cast import NOW, TODAY, School
from tests.planning.projects import a_body
from tests.studio.clay.room import a_lot, a_pot, issued, the_body

pytestmark = pytest.mark.both_databases


def test_the_ledger_is_read_by_body_class_pot_or_lot(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    white = a_lot(cast, body=a_body(cast.teacher, name="White earthenware"))
    for_pot = issued(cast, pot, lot)
    for_class = issue_to_class(section=cast.section, lot=white, grams=500, by=cast.head, at=NOW)
    person = cast.technician
    assert ledger(person).count() == 4
    assert ledger(person, body=the_body(cast), code=pot.code).get() == for_pot
    assert set(ledger(person, section=cast.section)) == {for_pot, for_class}
    assert set(ledger(person, lot=white, section=cast.section)) == {for_class}
    assert ledger(person, code=f" {pot.code.lower()}/1").get() == for_pot
    Pot.objects.update(number=2)
    assert ledger(person, code=pot.code).exists()
    assert not ledger(person, code=f"{pot.code}/1").exists()
    assert len(came_and_went(person)) == 4
    assert not ledger(cast.student).exists()


def test_only_what_is_open_is_put_right(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    entry = issued(cast, pot, lot)
    entries = list(Entry.objects.all())
    assert correctable(cast.teacher, entries) == {entry.pk}
    assert len(correctable(cast.head, entries)) == 2
    correct(entry=entry, reason="wrong", by=cast.teacher, at=NOW)
    assert correctable(cast.teacher, list(Entry.objects.all())) == set()


def test_the_talks_of_a_class_stand_by_name_with_the_newest_day(cast: School) -> None:
    record_talk(students=[cast.student], on=TODAY.replace(day=2), by=cast.head, at=NOW)
    record_talk(students=[cast.student], on=TODAY, by=cast.head, at=NOW)
    assert talks_of(cast.section) == [(cast.classmate, None), (cast.student, TODAY)]
