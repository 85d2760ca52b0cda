"""Whatever is done, in whatever order: a lot holds the sum of its entries, and never less than
nothing.
"""

from typing import Any

import pytest
from django.db.models import Sum
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from studio.clay.models import Entry, Lot, LotKind
from studio.clay.selectors.pots import clay_of, issued_from
from studio.clay.services import (
    correct,
    issue_clay,
    issue_to_class,
    issue_to_table,
    reclaim,
    return_bucket,
    return_clay,
    write_off,
)
from studio.errors import Refused
from studio.ware.models import Pot
from tests.cast import NOW, School
from tests.studio.clay.room import a_lot, a_pot, the_body
from tests.world import undone

pytestmark = pytest.mark.both_databases

KINDS = (
    "deliver",
    "issue to the pot",
    "issue to the class",
    "issue to a table",
    "return of the pot",
    "return to reclaim",
    "bucket",
    "reclaim",
    "write off",
    "correct",
)
STEPS = st.lists(
    st.tuples(st.sampled_from(KINDS), st.integers(1, 6000), st.integers(0, 50)), max_size=14
)


def act(cast: School, pot: Pot, step: tuple[str, int, int]) -> None:
    """One movement; `pick` chooses among the lots or the entries that are there."""
    kind, grams, pick = step
    said: dict[str, Any] = {"by": cast.teacher, "at": NOW}
    lots = list(Lot.objects.select_related("studio", "body").order_by("came_on", "kind", "pk"))
    lot = lots[pick % len(lots)]
    match kind:
        case "deliver":
            a_lot(cast, bags=0, bag_g=None, loose_g=grams)
        case "issue to the pot":
            issue_clay(pot=pot, lot=lot, grams=grams, **said)
        case "issue to the class":
            issue_to_class(section=cast.section, lot=lot, grams=grams, **said)
        case "issue to a table":
            issue_to_table(table="4", lot=lot, grams=grams, **said)
        case "return of the pot":
            return_clay(pot=pot, lot=lot, grams=grams, **said)
        case "return to reclaim":
            return_clay(pot=pot, lot=None, grams=grams, **said)
        case "bucket":
            return_bucket(section=cast.section, body=the_body(cast), grams=grams, **said)
        case "reclaim":
            reclaim(returned_lot=lot, taken_g=grams, ready_g=grams * 0.9, **said)
        case "write off":
            write_off(lot=lot, grams=grams, reason="wet", **said)
        case _:
            entries = list(Entry.objects.order_by("grams", "pk"))
            correct(entry=entries[pick % len(entries)], reason="wrong", by=cast.head, at=NOW)


@settings(
    max_examples=60,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(steps=STEPS)
def test_a_lot_holds_the_sum_of_its_entries(
    cast: School, ground: Pot, steps: list[tuple[str, int, int]]
) -> None:
    with undone():
        for step in steps:
            before = Entry.objects.count(), sum(Lot.objects.values_list("balance_g", flat=True))
            try:
                act(cast, ground, step)
            except Refused:
                after = Entry.objects.count(), sum(Lot.objects.values_list("balance_g", flat=True))
                assert after == before, step
            sums = Lot.objects.annotate(entered_g=Sum("entries__grams"))
            for balance_g, entered_g in sums.values_list("balance_g", "entered_g"):
                assert balance_g == entered_g >= 0, step
            clay = clay_of([ground]).get(ground.pk)
            assert clay is None or clay.issued_g >= clay.returned_g >= 0, step
            for lot in Lot.objects.exclude(kind=LotKind.RETURNED):
                assert all(out_g >= 0 for out_g in issued_from(lot).values()), step


@pytest.fixture
def ground(cast: School) -> Pot:
    """A pot, and a lot of 8 kg."""
    pot = a_pot(cast)
    a_lot(cast, bags=1, bag_g=8000)
    return pot
