"""What a student reads about when their pot comes out."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from studio.kilns.models import Slot
from studio.kilns.selectors.expected import expected_out, with_loads
from studio.kilns.selectors.slots import window_text
from studio.kilns.services.firing import light, shut_off, unload
from studio.kilns.services.loads import place_pots, take_out
from studio.kilns.services.slots import cancel_slot
from studio.ware.models import Pot
from tests.cast import NOW, School
from tests.studio.kilns.kiln_room import a_slot
from tests.studio.kilns.loading import many_dry
from tests.studio.kilns.services.test_firing import EVENING, MORNING, all_fine, lit, loaded

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def said(pot: Pot, at: datetime = NOW) -> str:
    return expected_out(with_loads(Pot.objects.all()).get(pk=pot.pk), at)


def window(slot: Slot) -> str:
    slot.refresh_from_db()
    return window_text(*slot.unload_window, slot.studio.zone)


def test_a_window_names_its_day_once_or_both_where_it_passes_midnight() -> None:
    zone = ZoneInfo("Europe/Amsterdam")
    first = datetime(2026, 3, 20, 18, 15, tzinfo=UTC)
    assert (
        window_text(first, first + timedelta(hours=2.5), zone) == "Friday 20 March, 19:15 to 21:45"
    )
    late = window_text(first, first + timedelta(hours=6), zone)
    assert late == "Friday 20 March, 19:15 to Saturday 21 March, 01:15"


def test_a_pot_that_is_placed_is_expected_after_its_kiln_has_cooled(cast: School) -> None:
    """The shipped bisque takes longer than a night: counted from its own start and the kiln's
    cooling, never earlier than these.
    """
    slot, (pot, *_others) = loaded(cast, 2)
    assert said(pot) == (
        f"Its bisque firing begins on Thursday 19 March, 20:00. It is expected out on "
        f"{window(slot)}."
    )
    assert slot.unload_window[0] >= slot.unload_at > slot.starts_at + timedelta(hours=12)


def test_a_pot_that_is_placed_nowhere_is_expected_never(cast: School) -> None:
    slot, (pot, other) = loaded(cast, 2)
    assert said(many_dry(cast, 1, title="Others")[0]) == ""
    take_out(slot=slot, pots=[other], by=cast.technician, at=NOW)
    assert said(other) == ""
    cancel_slot(slot=slot, by=cast.technician, at=NOW)
    assert said(pot) == ""


def test_once_it_is_lit_the_window_follows_what_happened(cast: School) -> None:
    slot, (pot, *others) = lit(cast, 2)
    before = window(slot)
    assert said(pot, EVENING) == f"It is in the kiln. It is expected out on {before}."
    shut_off(slot=slot, by=cast.technician, at=slot.ends_at + timedelta(hours=2))
    assert said(pot, MORNING) == f"It is in the kiln. It is expected out on {window(slot)}."
    assert window(slot) != before
    out = slot.unload_window[1] + timedelta(minutes=1)
    assert said(pot, out) == f"It waits in the kiln. It was expected out on {window(slot)}."
    results = all_fine([pot, *others])
    unload(slot=slot, results=results, by=cast.technician, at=out, read_below=True)
    assert said(pot, out) == ""


def test_a_firing_that_was_cut_short_promises_nothing_and_blames_nobody(cast: School) -> None:
    slot, (pot, *_others) = lit(cast, 2)
    shut_off(slot=slot, by=cast.technician, at=EVENING + timedelta(hours=2))
    assert said(pot, EVENING + timedelta(hours=3)) == (
        "The kiln went off early, so your pot may need another firing; it can be fired again. The "
        f"kiln is expected to be cool on {window(slot)}; then your teacher looks at it."
    )


def test_a_firing_that_never_began_promises_nothing(cast: School) -> None:
    slot, (pot, *_others) = loaded(cast, 2)
    assert said(pot, slot.starts_at + timedelta(minutes=1)) == (
        "Its bisque firing was planned for Thursday 19 March, 20:00 and hasn't begun. When it "
        "comes out is not known yet."
    )


def test_one_query_for_pots_of_several_kilns(cast: School) -> None:
    pots = many_dry(cast, 3)
    slot = a_slot(cast.technician)
    place_pots(slot=slot, pots=pots[:2], by=cast.technician, at=NOW)
    second = a_slot(cast.technician, on=date(2026, 3, 26), start=time(20))
    place_pots(slot=second, pots=pots[2:], by=cast.technician, at=NOW)
    ids = [pot.pk for pot in pots]
    with CaptureQueriesContext(connection) as captured:
        sentences = {expected_out(pot, NOW) for pot in with_loads(Pot.objects.filter(pk__in=ids))}
    assert (len(sentences), len(captured)) == (2, 1)


def test_lit_and_then_only_off_is_not_called_early(cast: School) -> None:
    slot, pots = loaded(cast, 2)
    light(slot=slot, by=cast.technician, at=EVENING, part_full_reason="Needed")
    slot.refresh_from_db()
    shut_off(slot=slot, by=cast.technician, at=slot.off_due_at - timedelta(minutes=50))
    assert said(pots[0], MORNING).startswith("It is in the kiln.")
