"""Firings as they are planned, moved and cancelled in a browser."""

from datetime import date, time, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from studio.kilns.models import Program, Slot
from studio.kilns.services.kilns import change_kiln
from studio.kilns.services.programs import EDITABLE, add_program
from studio.people.services import add_closure
from studio.room.models import Kiln
from tests.cast import School, signed_in, today_there
from tests.studio.kilns.kiln_room import a_kiln, a_slot, program, text_of

pytestmark = pytest.mark.django_db


def tomorrow(days: int = 1) -> date:
    return today_there() + timedelta(days=days)


def typed(kiln: Kiln, **changed: Any) -> dict[str, Any]:
    values = {
        "kiln": str(kiln.pk),
        "program": str(program(kiln.confirms_shut_off).pk),
        "on": tomorrow().isoformat(),
        "start": "20:00",
        "weeks": "1",
        "confirms_shut_off": "",
        "note": "",
        "once": "a-key",
    }
    return values | changed


def soon(cast: School, **changed: Any) -> Slot:
    return a_slot(cast.technician, **({"on": tomorrow(), "at": timezone.now()} | changed))


def test_a_firing_is_planned_and_the_kiln_s_own_person_confirms_it(cast: School) -> None:
    kiln = a_kiln(cast.technician)
    client = signed_in(cast.teacher)
    page = text_of(client.get(reverse("slot_new"), {"on": tomorrow(3).isoformat()}))
    assert "lit from 10:30 to 22:00" in page
    page = text_of(client.post(reverse("slot_new"), typed(kiln), follow=True))
    assert "One firing is planned." in page
    assert "Tall kiln: Slow school bisque, cone 06" in page
    assert "Joost B. confirms it." in page
    assert Slot.objects.get().confirms_shut_off == cast.technician


def test_more_programs_take_no_more_queries(cast: School) -> None:
    a_kiln(cast.technician)
    client = signed_in(cast.teacher)

    def queries() -> int:
        with CaptureQueriesContext(connection) as found:
            client.get(reverse("slot_new"))
        return len(found)

    first = queries()
    for each in Program.objects.all():
        values = {name: getattr(each, name) for name in EDITABLE} | {"name": f"{each} again"}
        add_program(studio=cast.studio, by=cast.technician, program=values)
    assert queries() == first


def test_a_second_tap_plans_nothing_twice_and_says_the_same(cast: School) -> None:
    kiln = a_kiln(cast.technician)
    client = signed_in(cast.teacher)
    for _tap in range(2):
        page = text_of(client.post(reverse("slot_new"), typed(kiln, weeks="3"), follow=True))
        assert "3 firings are planned." in page
    assert Slot.objects.count() == 3


def test_weeks_that_are_left_out_are_said(cast: School) -> None:
    today = today_there()
    add_closure(
        studio=cast.studio,
        by=cast.head,
        name="Spring break",
        starts_on=tomorrow(8),
        ends_on=tomorrow(9),
        today=today,
    )
    kiln = a_kiln(cast.technician)
    client = signed_in(cast.teacher)
    page = text_of(client.post(reverse("slot_new"), typed(kiln, weeks="2"), follow=True))
    assert "One firing is planned. Left out on" in page
    assert "The studio is closed (Spring break)." in page
    # Whoever plans a single firing on a closed day means it.
    data = typed(kiln, on=tomorrow(8).isoformat(), once="another")
    assert "One firing is planned." in text_of(client.post(reverse("slot_new"), data, follow=True))


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"start": "23:30"}, "Lit at: Tall kiln may be lit from 06:00 until 22:00 only."),
        ({"start": "06:00"}, "Lit at: It would be off on"),
        ({"on": tomorrow(-9).isoformat()}, "Date: This start is over."),
        ({"on": "0001-01-01"}, "Date: This date is years away. Check the year."),
        ({"on": "9999-12-31"}, "Date: This date is years away. Check the year."),
        ({"on": "soon"}, "This is not a date"),
        ({"weeks": "41"}, "less than or equal to 40"),
        ({"program": "x"}, "“x” is not a valid UUID"),
    ],
)
def test_what_is_refused_stands_at_its_field(
    cast: School, changed: dict[str, str], says: str
) -> None:
    kiln = a_kiln(cast.technician)
    client = signed_in(cast.teacher)
    page = text_of(client.post(reverse("slot_new"), typed(kiln, **changed)))
    assert says in page
    assert not Slot.objects.exists()


@pytest.mark.parametrize("on", ["", "x", "2026-02-31", "9999-99-99"])
def test_an_odd_day_in_the_address_is_today(cast: School, on: str) -> None:
    a_kiln(cast.technician)
    page = signed_in(cast.teacher).get(reverse("slot_new"), {"on": on}).content.decode()
    assert f'value="{today_there().isoformat()}"' in page


def test_a_page_without_a_kiln_or_a_program_says_what_comes_first(cast: School) -> None:
    client = signed_in(cast.teacher)
    assert "There is no kiln yet. Describe one first." in text_of(client.get(reverse("slot_new")))
    a_kiln(cast.technician)
    cast.studio.programs.update(retired=True)
    page = text_of(client.get(reverse("slot_new")))
    assert "There is no program yet. Write one first." in page


def test_a_firing_is_moved_cancelled_and_brought_back(cast: School) -> None:
    slot = soon(cast)
    client = signed_in(cast.teacher)
    page = text_of(client.get(reverse("slot", args=[slot.pk])))
    assert "Joost Bakker confirms it" in page
    assert "below 60 °C" in page
    move = reverse("slot_move", args=[slot.pk])
    assert "20:00" in client.get(move).content.decode()
    data = typed(slot.kiln, start="21:00", confirms_shut_off=str(cast.teacher.pk))
    assert "Tomas Lindqvist confirms it" in text_of(client.post(move, data, follow=True))
    page = text_of(client.post(move, typed(slot.kiln, start="05:00")))
    assert "may be lit from 06:00 until 22:00 only" in page
    cancelled = client.post(reverse("slot_cancel", args=[slot.pk]), follow=True)
    assert "Cancelled: it does not fire." in text_of(cancelled)
    room = text_of(client.get(reverse("kiln_room")))
    assert "Cancelled" in room
    assert "No firing is" in room
    back = client.post(reverse("slot_bring_back", args=[slot.pk]), follow=True)
    assert "It fires after all. It is empty." in text_of(back)


def test_the_kiln_room_says_what_came_into_a_firing_s_way(cast: School) -> None:
    slot = soon(cast)
    change_kiln(kiln=slot.kiln, by=cast.head, values={"start_until": time(19)}, at=timezone.now())
    client = signed_in(cast.teacher)
    says = "Tall kiln may be lit from 06:00 until 19:00 only."
    assert says in text_of(client.get(reverse("kiln_room")))
    assert says in text_of(client.get(reverse("slot", args=[slot.pk])))


def test_a_lit_firing_is_under_way_and_offers_no_cancelling(cast: School) -> None:
    slot = soon(cast)
    Slot.objects.filter(pk=slot.pk).update(lit_at=timezone.now(), off_at=timezone.now())
    client = signed_in(cast.teacher)
    room = text_of(client.get(reverse("kiln_room")))
    assert "Under way" in room
    assert "Off since" in room
    page = text_of(client.get(reverse("slot", args=[slot.pk])))
    assert "Cancel this firing" not in page
    assert client.post(reverse("slot_cancel", args=[slot.pk])).status_code == 422
