"""The kiln calendar as a program reads it, and the page where its addresses are made."""

import re
from datetime import UTC, datetime, time, timedelta

import pytest
import vobject
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from studio.kilns.models import CalendarAddress, Slot
from studio.kilns.services.calendars import make_calendar_address
from studio.kilns.services.firing import light, shut_off, unload
from studio.kilns.services.loads import place_pots
from studio.kilns.services.slots import cancel_slot, move_slot
from studio.people.models import Section, User
from tests.cast import NOW, School, pupil, signed_in
from tests.studio.kilns.kiln_room import a_kiln, a_slot, text_of
from tests.studio.kilns.loading import many_dry
from tests.studio.kilns.services.test_firing import EVENING, MORNING, all_fine

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _then(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOW)


def feed(cast: School, section: Section | None = None, by: User | None = None) -> str:
    _kept, secret = make_calendar_address(
        studio=cast.studio, section=section, by=by or cast.head, at=NOW
    )
    return reverse("kiln_calendar", args=[secret])


def read(address: str) -> list[vobject.base.Component]:
    answer = Client().get(address)
    assert answer.status_code == 200
    return list(getattr(vobject.readOne(answer.content.decode()), "vevent_list", []))


def said(events: list[vobject.base.Component]) -> str:
    return " | ".join(f"{each.summary.value}: {each.description.value}" for each in events)


def test_it_says_when_a_kiln_fires_and_when_it_can_be_unloaded(cast: School) -> None:
    """The shipped bisque, lit at 20:00 in Amsterdam: 19:00 UTC before the clocks change."""
    slot = a_slot(cast.technician)
    firing, unloading = read(feed(cast))
    assert firing.summary.value == "Tall kiln: bisque firing"
    assert firing.dtstart.value == datetime(2026, 3, 19, 19, tzinfo=UTC)
    assert firing.dtend.value == slot.ends_at
    assert "No pots are packed." in firing.description.value
    assert unloading.summary.value == "Unload Tall kiln, expected"
    assert unloading.dtstart.value >= slot.unload_at
    assert unloading.dtend.value > unloading.dtstart.value
    assert (
        "Expected below 60\xa0°C on Saturday 21 March, 10:45 to 15:45."
        in unloading.description.value
    )
    assert firing.url.value.endswith(reverse("slot", args=[slot.pk]))


def test_a_change_keeps_the_id_and_raises_the_sequence(cast: School) -> None:
    slot, address = a_slot(cast.technician), feed(cast)
    before = read(address)
    move_slot(slot=slot, by=cast.technician, at=EVENING, start=time(21))
    after = read(address)
    for old, new in zip(before, after, strict=True):
        assert new.uid.value == old.uid.value
        assert int(new.sequence.value) == int(old.sequence.value) + 1
        assert new.dtstart.value - old.dtstart.value == timedelta(hours=1)
        assert new.dtstamp.value == EVENING
    assert len({each.uid.value for each in after}) == 2


def test_a_cancelled_firing_says_so_in_the_studios_calendar_and_its_classes(cast: School) -> None:
    slot = a_slot(cast.technician)
    place_pots(slot=slot, pots=many_dry(cast, 1), by=cast.technician, at=NOW)
    addresses = [feed(cast), feed(cast, cast.section), feed(cast, cast.other_section)]
    before = [[each.uid.value for each in read(address)] for address in addresses]
    cancel_slot(slot=slot, by=cast.technician, at=NOW)
    studio, section, other = (read(address) for address in addresses)
    for events, ids in ((studio, before[0]), (section, before[1])):
        assert [each.status.value for each in events] == ["CANCELLED"] * 2
        assert [each.uid.value for each in events] == ids
        assert events[0].summary.value == "Cancelled: Tall kiln: bisque firing"
    assert other == []


def test_what_happened_stands_in_place_of_what_was_planned(cast: School) -> None:
    slot, pots = a_slot(cast.technician), many_dry(cast, 2)
    by = cast.technician
    place_pots(slot=slot, pots=pots, by=by, at=NOW)
    address = feed(cast)
    light(slot=slot, by=by, at=EVENING, part_full_reason="Needed")
    assert read(address)[0].dtstart.value == EVENING
    shut_off(slot=slot, by=by, at=MORNING)
    firing, unloading = read(address)
    assert firing.dtend.value == MORNING
    assert "It was off on " in firing.description.value
    assert unloading.dtstart.value > MORNING
    out = MORNING + timedelta(hours=14)
    unload(slot=slot, results=all_fine(pots), by=by, at=out, read_below=True)
    _firing, unloading = read(address)
    assert (unloading.summary.value, unloading.dtstart.value) == ("Tall kiln unloaded", out)
    assert "dtend" not in unloading.contents


def test_a_class_reads_its_own_pots_only_and_nobody_reads_a_name(cast: School) -> None:
    slot = a_slot(cast.technician, note="Ask Ode Amari")
    empty = a_slot(cast.technician, kiln=a_kiln(cast.technician, name="Small kiln"))
    mine = many_dry(cast, 2)
    theirs = many_dry(
        cast, 1, section=cast.other_section, teacher=cast.other_teacher, title="Other pots"
    )
    place_pots(slot=slot, pots=[*mine, *theirs], by=cast.technician, at=NOW)
    whole = said(read(feed(cast)))
    assert all(pot.code in whole for pot in (*mine, *theirs))
    part = said(read(feed(cast, cast.section)))
    assert "Pots of Period 3: " + ", ".join(sorted(pot.code for pot in mine)) in part
    assert theirs[0].code not in part
    assert "Small kiln" in whole
    assert "Small kiln" not in part
    assert Slot.objects.filter(pk=empty.pk).exists()
    names = User.objects.filter(studio=cast.studio).values_list("given_name", "family_name")
    for name in {part for both in names for part in both}:
        assert name not in whole + part


def test_a_class_and_the_studio_give_their_events_different_ids(cast: School) -> None:
    slot = a_slot(cast.technician)
    place_pots(slot=slot, pots=many_dry(cast, 1), by=cast.technician, at=NOW)
    ids = [each.uid.value for of in (None, cast.section) for each in read(feed(cast, of))]
    assert len(set(ids)) == 4


def test_old_firings_leave_the_calendar_and_another_studios_never_enter(cast: School) -> None:
    slot = a_slot(cast.technician)
    a_slot(cast.elsewhere.technician)
    address = feed(cast)
    assert len(read(address)) == 2
    Slot.objects.filter(pk=slot.pk).update(starts_at=NOW - timedelta(weeks=8, minutes=1))
    assert read(address) == []


def test_the_answer_is_kept_nowhere_and_passes_nothing_on(cast: School) -> None:
    answer = Client().get(feed(cast))
    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer.headers["Cache-Control"] == "no-store, private"
    assert answer.headers["Referrer-Policy"] == "no-referrer"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["X-Robots-Tag"] == "noindex"
    assert not answer.cookies
    assert Client().head(feed(cast)).status_code == 200


def test_nothing_is_found_at_an_address_that_ended_or_never_was(cast: School) -> None:
    old = feed(cast)
    new = feed(cast)
    assert Client().get(old).status_code == 404
    assert Client().get(new).status_code == 200
    client = signed_in(cast.technician)
    kept = CalendarAddress.objects.get()
    answer = client.post(reverse("kiln_calendar_end", args=[kept.pk]), follow=True)
    assert "Ended. Nothing is found at that address any more." in text_of(answer)
    assert Client().get(new).status_code == 404
    for wrong in ("x", kept.digest, "é" * 50):
        assert Client().get(reverse("kiln_calendar", args=[wrong])).status_code == 404


@pytest.mark.both_databases
def test_as_few_queries_for_many_firings_as_for_one(cast: School) -> None:
    addresses = [feed(cast), feed(cast, cast.section)]

    def counted() -> list[int]:
        found = []
        for address in addresses:
            with CaptureQueriesContext(connection) as captured:
                Client().get(address)
            found.append(len(captured))
        return found

    pots = many_dry(cast, 6)
    place_pots(slot=a_slot(cast.technician), pots=pots[:1], by=cast.technician, at=NOW)
    few = counted()
    for n, pot in enumerate(pots[1:]):
        kiln = a_kiln(cast.technician, name=f"Kiln {n}")
        place_pots(slot=a_slot(cast.technician, kiln=kiln), pots=[pot], by=cast.technician, at=NOW)
    assert counted() == few
    assert max(few) <= 3


def test_an_address_is_shown_once_when_it_is_made(cast: School) -> None:
    client = signed_in(cast.teacher)
    page = reverse("kiln_calendars")
    before = text_of(client.get(page))
    assert "All firings of the studio No address." in before
    assert "Period 3" in before
    assert "Period 5" not in before
    answer = client.post(page, {"section": str(cast.section.pk)})
    words = text_of(answer)
    assert "Copy the address for Period 3 now; it isn't shown again." in words
    assert "no-store" in answer.headers["Cache-Control"]
    found = re.search(r"http://testserver(/kilns/calendar/\S+\.ics)", words)
    assert found is not None
    assert Client().get(found[1]).status_code == 200
    assert "/kilns/calendar/" not in text_of(client.get(page)).replace("/kilns/calendars/", "")


def test_nobody_makes_an_address_for_a_class_that_they_do_not_teach(cast: School) -> None:
    page = reverse("kiln_calendars")
    for section in (str(cast.other_section.pk), "nonsense"):
        assert signed_in(cast.teacher).post(page, {"section": section}).status_code == 404
    assert (
        signed_in(cast.technician).post(page, {"section": str(cast.section.pk)}).status_code == 404
    )
    assert not CalendarAddress.objects.exists()


def test_a_student_who_joins_changes_nothing(cast: School) -> None:
    """Whoever has the address needs no account: it follows the class, not who is in it."""
    a_slot(cast.technician)
    address = feed(cast)
    before = Client().get(address).content
    pupil(cast.head, cast.section, "Noor", "Vale")
    assert Client().get(address).content == before
