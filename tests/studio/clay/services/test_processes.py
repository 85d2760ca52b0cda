"""Several processes want the last of a lot at the same moment."""

from collections import Counter

import pytest
from django.db.models import Sum

from studio.clay.models import Entry, EntryKind, Lot
from tests.at_once import at_once
from tests.cast import School, school
from tests.studio.clay.room import a_lot, left_g
from tests.studio.clay.services.one_of_many import ask

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]
PROCESSES = 8


def all_at_once(cast: School, lot: Lot, grams: str, times: str, key: str) -> list[str]:
    """What all of the processes read."""
    who = (str(lot.pk), str(cast.section.pk), str(cast.teacher.pk))
    answers = at_once(ask, [(*who, grams, times, key)] * PROCESSES)
    return [said for answer in answers for said in answer]


def test_a_lot_gives_exactly_what_it_holds_to_processes_that_ask_for_more() -> None:
    cast = school()
    lot = a_lot(cast, bags=0, bag_g=None, loose_g=23_400)
    said = all_at_once(cast, lot, "1000", "5", "")
    counted = Counter(line.split()[0] for line in said)
    assert counted == {"issued": 23, "refused": 5 * PROCESSES - 23}
    assert {line for line in said if line.startswith("refused")} == {
        (
            "refused There are 0.40\u00a0kg left of Grogged stoneware Note 2207; you asked for "
            "1.00\u00a0kg. Take the rest from another lot."
        )
    }
    issues = Entry.objects.filter(kind=EntryKind.ISSUE)
    assert len({line for line in said if line.startswith("issued")}) == issues.count() == 23
    assert left_g(lot) == 400 == Entry.objects.aggregate(all_g=Sum("grams"))["all_g"]
    # Each saw what the one before it had left: no two the same, none left out.
    left = sorted(issues.values_list("balance_after_g", flat=True))
    assert left == list(range(400, 23_400, 1000))


def test_a_repeated_key_posts_once_from_all_processes() -> None:
    cast = school()
    lot = a_lot(cast, bags=0, bag_g=None, loose_g=23_400)
    said = all_at_once(cast, lot, "1000", "3", "the-same-key")
    entry = Entry.objects.get(kind=EntryKind.ISSUE)
    assert said == [f"issued {entry.pk}"] * (3 * PROCESSES)
    assert left_g(lot) == 22_400
