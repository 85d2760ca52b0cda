"""Clay comes back: by pot, or as the bucket of a class."""

from typing import Any

import pytest
from django.core.exceptions import PermissionDenied

from studio.clay.models import Entry, Lot, LotKind
from studio.clay.services import return_bucket, return_clay
from studio.errors import Refused
from tests.cast import NOW, School
from tests.planning.projects import a_body
from tests.studio.clay.room import a_lot, a_pot, issued, left_g, the_body

pytestmark = pytest.mark.both_databases


def test_fit_clay_of_a_pot_goes_back_to_its_lot(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    issued(cast, pot, lot, 3000)
    entry = return_clay(pot=pot, lot=lot, grams=400, by=cast.teacher, at=NOW)
    assert (entry.kind, entry.grams, entry.pot, entry.lot) == ("return", 400, pot, lot)
    assert left_g(lot) == 22_400


def test_other_clay_of_a_pot_waits_to_be_reclaimed(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    issued(cast, pot, lot, 3000)
    entry = return_clay(pot=pot, lot=None, grams=400, by=cast.technician, at=NOW)
    assert (entry.lot.kind, entry.lot.body) == (LotKind.RETURNED, the_body(cast))
    assert (left_g(lot), left_g(entry.lot)) == (22_000, 400)


def test_never_more_comes_back_than_went_out(cast: School) -> None:
    pot, lot, second = a_pot(cast), a_lot(cast), a_lot(cast, label="Note 2208")
    issued(cast, pot, lot, 3000)
    issued(cast, pot, second, 500)
    with pytest.raises(Refused) as refused:
        return_clay(pot=pot, lot=second, grams=501, by=cast.teacher, at=NOW)
    assert str(refused.value) == (
        f"{pot.code} has 0.50\u00a0kg out of Grogged stoneware Note 2208; no more than that can go "
        "back to it."
    )
    return_clay(pot=pot, lot=None, grams=3300, by=cast.teacher, at=NOW)
    # 200 g are out in all, so no more can come back to any lot.
    for to in (lot, None):
        with pytest.raises(Refused, match=r"has 0\.20\u00a0kg out"):
            return_clay(pot=pot, lot=to, grams=201, by=cast.teacher, at=NOW)
    return_clay(pot=pot, lot=lot, grams=200, by=cast.teacher, at=NOW)
    with pytest.raises(Refused, match=r"has 0\.00\u00a0kg out"):
        return_clay(pot=pot, lot=None, grams=1, by=cast.teacher, at=NOW)


def test_a_pot_without_clay_gives_none_back(cast: School) -> None:
    with pytest.raises(Refused, match=r"has 0\.00\u00a0kg out"):
        return_clay(pot=a_pot(cast), lot=a_lot(cast), grams=1, by=cast.teacher, at=NOW)


def test_the_buckets_of_a_body_make_one_lot(cast: School) -> None:
    def bucket(section: Any, grams: float) -> Entry:
        return return_bucket(
            section=section, body=the_body(cast), grams=grams, by=cast.technician, at=NOW
        )

    first, second = bucket(cast.section, 2100), bucket(cast.other_section, 900)
    assert first.lot == second.lot == Lot.objects.get()
    assert (first.section, second.section) == (cast.section, cast.other_section)
    assert left_g(first.lot) == 3000


def test_others_bring_nothing_back(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    issued(cast, pot, lot, 3000)
    for person in (cast.other_teacher, cast.student, cast.elsewhere.head):
        with pytest.raises(PermissionDenied):
            return_clay(pot=pot, lot=lot, grams=1, by=person, at=NOW)
        with pytest.raises(PermissionDenied):
            return_bucket(section=cast.section, body=the_body(cast), grams=1, by=person, at=NOW)
    there = a_body(cast.elsewhere.head)
    with pytest.raises(PermissionDenied):
        return_bucket(section=cast.section, body=there, grams=1, by=cast.head, at=NOW)
