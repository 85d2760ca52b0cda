"""Entries stay as they are; lots know their bags; who sees what."""

import pytest

from studio.clay.models import BagPart, Entry, Lot, NeverChanged, SafetyTalk, TalkRule
from studio.clay.services import issue_to_table, record_talk, set_talk_rule
from tests.cast import NOW, TODAY, School
from tests.studio.clay.room import a_lot, a_pot, issued

pytestmark = pytest.mark.both_databases


def test_an_entry_is_never_changed_and_never_deleted(cast: School) -> None:
    a_lot(cast)
    entry = Entry.objects.get()
    entry.grams = 1
    with pytest.raises(NeverChanged):
        entry.save()
    with pytest.raises(NeverChanged):
        entry.delete()
    with pytest.raises(NeverChanged):
        Entry.objects.all().update(grams=1)
    with pytest.raises(NeverChanged):
        Entry.objects.bulk_update([entry], ["grams"])
    with pytest.raises(NeverChanged):
        Entry.objects.all().delete()
    assert Entry.objects.get().grams == 25_000


def test_an_entry_says_its_kind_and_weight(cast: School) -> None:
    lot = a_lot(cast)
    assert str(Entry.objects.get()) == "delivery 25000 g"
    assert str(lot) == "Grogged stoneware Note 2207"
    assert lot.get_absolute_url() == f"/clay-room/lots/{lot.pk}/"


def test_a_part_of_a_bag_weighs_its_share(cast: School) -> None:
    lot = a_lot(cast, bag_g=11_340)  # 25 lb
    assert [lot.part_g(part) for part in BagPart] == [2835, 5670, 11_340]
    assert a_lot(cast, bags=0, bag_g=None, loose_g=900).part_g(BagPart.HALF) is None


def test_students_and_strangers_see_nothing_of_the_ledger(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    issued(cast, pot, lot)
    record_talk(students=[cast.student], on=TODAY, by=cast.teacher, at=NOW)
    for model in (Entry, Lot, SafetyTalk):
        for person in (cast.student, cast.nobody, cast.elsewhere.head):
            assert not model.objects.visible_to(person).exists()
        assert model.objects.visible_to(cast.technician).exists()


def test_a_teacher_puts_right_what_is_about_their_classes_or_their_own(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    about_the_class = issued(cast, pot, lot)
    own = issue_to_table(table="By the sink", lot=lot, grams=500, by=cast.other_teacher, at=NOW)

    def may(person: object) -> set[Entry]:
        return set(Entry.objects.correctable_by(person))  # type: ignore[arg-type]

    assert may(cast.teacher) == {about_the_class}
    assert may(cast.other_teacher) == {own}
    assert len(may(cast.technician)) == len(may(cast.head)) == 3
    assert may(cast.student) == may(cast.elsewhere.head) == set()


def test_a_talk_is_of_students_now_in_the_teachers_classes(cast: School) -> None:
    record_talk(students=[cast.student], on=TODAY, by=cast.teacher, at=NOW)
    assert str(SafetyTalk.objects.get()) == "Ode Amari 2026-03-11"
    assert SafetyTalk.objects.visible_to(cast.teacher).count() == 1
    assert SafetyTalk.objects.visible_to(cast.other_teacher).count() == 0
    set_talk_rule(studio=cast.studio, talk_first=True, by=cast.head)
    assert str(TalkRule.objects.get()) == "Brookfield School studio True"
