"""A pot is put in or on another one on a page of its own; the load's page and print say so."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from studio.kilns.models import Placement, Program, Slot
from studio.kilns.services.firing import light, shut_off
from tests.cast import School, signed_in
from tests.studio.kilns.kiln_room import text_of
from tests.studio.kilns.nesting import BOWL, CUP, a_load, nest, row
from tests.studio.kilns.services.test_firing import EVENING

pytestmark = pytest.mark.django_db


def test_a_host_is_chosen_by_its_code_and_the_load_says_what_stands_where(cast: School) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    client, address = signed_in(cast.teacher), reverse("load_nest", args=[slot.pk, cup.pk])
    page = text_of(client.get(address))
    assert f"{bowl.code}: 200 × 200 mm, 120 mm high" in page
    assert f"{cup.code}: " not in page
    assert "nothing glazed" in page
    answer = client.post(
        address, {"host": bowl.pk, "together_mm": "12.5 cm", "seen": ""}, follow=True
    )
    page = text_of(answer)
    assert f"{cup.code} stands in or on {bowl.code} now" in page
    assert f"{cup.code} in or on {bowl.code}" in page
    assert "together 125 mm" in page
    assert "2 pots, about" in page
    assert "only bone-dry ones of about the same thickness" in page
    page = text_of(client.get(address))
    assert f"{cup.code} stands in or on {bowl.code}; together they are 125 mm high." in page
    page = text_of(client.post(reverse("load_by_itself", args=[slot.pk, cup.pk]), follow=True))
    assert f"{cup.code} stands by itself again." in page
    assert row(cup).host is None


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "A measure is missing here."),
        ("high", "can't be read as a measure"),
        ("50", "Together they are at least as high as the tallest of them, 120 mm."),
        ("300", "On top of each other they are 210 mm high."),
    ],
)
def test_a_height_that_is_none_is_refused_at_its_field(cast: School, typed: str, said: str) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    client, address = signed_in(cast.teacher), reverse("load_nest", args=[slot.pk, cup.pk])
    answer = client.post(address, {"host": bowl.pk, "together_mm": typed, "seen": ""})
    assert said in text_of(answer)
    assert not typed or f'value="{typed}"' in answer.content.decode()
    assert row(cup).host is None


def test_somebody_who_was_second_reads_it_and_their_next_try_counts(cast: School) -> None:
    slot, (bowl, cup, other) = a_load(cast, BOWL, CUP, (70, 70, 60))
    client, address = signed_in(cast.teacher), reverse("load_nest", args=[slot.pk, other.pk])
    stale = {"host": bowl.pk, "together_mm": "120", "seen": ""}
    nest(cast, slot, cup, bowl, 150)
    answer = client.post(address, stale)
    assert f"What stands in or on {bowl.code} has changed meanwhile." in text_of(answer)
    seen = f"{bowl.pk}:{cup.pk}"
    assert f'value="{seen}"' in answer.content.decode()
    answer = client.post(address, stale | {"seen": "no ids"})
    assert "What stands in what is not known." in text_of(answer)
    client.post(address, stale | {"seen": seen, "together_mm": "160"})
    assert (row(other).host, row(bowl).together_mm) == (row(bowl), 160)


def test_one_in_which_others_stand_and_a_glaze_load_have_no_such_page(cast: School) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    nest(cast, slot, cup, bowl, 120)
    client = signed_in(cast.teacher)
    answer = client.get(reverse("load_nest", args=[slot.pk, bowl.pk]))
    assert answer.status_code == 409
    said = f"What stands in or on {bowl.code} must stand by itself first: {cup.code}."
    assert said in answer.content.decode()
    nests = [reverse("load_nest", args=[slot.pk, pot.pk]) for pot in (cup, bowl)]
    page = client.get(reverse("load", args=[slot.pk])).content.decode()
    assert [each in page for each in nests] == [True, False]
    glaze = Program.objects.filter(studio=cast.studio, firing="glaze").first()
    Slot.objects.filter(pk=slot.pk).update(program=glaze)
    answer = client.get(nests[0])
    assert answer.status_code == 409
    assert "In a glaze firing no pot touches another" in answer.content.decode()
    page = client.get(reverse("load", args=[slot.pk])).content.decode()
    assert not any(each in page for each in nests)


def test_a_load_of_one_pot_has_none_that_could_carry_it(cast: School) -> None:
    slot, (cup,) = a_load(cast, CUP)
    client = signed_in(cast.teacher)
    address = reverse("load_nest", args=[slot.pk, cup.pk])
    assert "No other pot of this load can carry it." in text_of(client.get(address))
    assert address not in client.get(reverse("load", args=[slot.pk])).content.decode()


def test_on_the_page_of_a_move_it_is_said_what_goes_with_it(cast: School) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    nest(cast, slot, cup, bowl, 120)
    client = signed_in(cast.teacher)
    page = text_of(client.get(reverse("load_move", args=[slot.pk, bowl.pk])))
    assert f"In or on it, and going with it: {cup.code}." in page
    assert "It fits there." in page
    page = text_of(client.get(reverse("load_move", args=[slot.pk, cup.pk])))
    assert f"It stands in or on {bowl.code}. Moved to another place it stands by itself." in page
    assert "It fits there." in page


def test_a_host_is_not_taken_out_from_under_its_guest(cast: School) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    nest(cast, slot, cup, bowl, 120)
    client, address = signed_in(cast.teacher), reverse("load_change", args=[slot.pk])
    answer = client.post(address, {"take_out": "1", "pots": [bowl.pk]})
    assert answer.status_code == 409
    assert f"{cup.code} stands in or on {bowl.code}. Take it out too" in answer.content.decode()
    client.post(address, {"take_out": "1", "pots": [bowl.pk, cup.pk]})
    assert not Placement.objects.exists()


def test_who_unloads_reads_what_stands_in_what(cast: School) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    nest(cast, slot, cup, bowl, 120)
    light(slot=slot, by=cast.technician, at=EVENING, part_full_reason="Only these are dry")
    slot.refresh_from_db()
    shut_off(slot=slot, by=cast.technician, at=slot.ends_at)
    client = signed_in(cast.teacher)
    page = text_of(client.get(reverse("firing_unload", args=[slot.pk])))
    assert f"in or on {bowl.code}" in page
    page = text_of(client.get(reverse("load", args=[slot.pk])))
    assert f"{cup.code} in or on {bowl.code}" in page
    assert "Stands by itself again" not in page


@pytest.mark.both_databases
def test_as_few_queries_for_many_guests_as_for_one(cast: School) -> None:
    slot, (bowl, *cups) = a_load(cast, (300, 300, 120), *[(50, 50, 60)] * 9)
    nest(cast, slot, cups[0], bowl, 120)
    client = signed_in(cast.technician)
    pages = [reverse("load", args=[slot.pk]), reverse("load_nest", args=[slot.pk, cups[0].pk])]

    def counted() -> list[int]:
        found = []
        for page in pages:
            with CaptureQueriesContext(connection) as captured:
                assert client.get(page).status_code == 200
            found.append(len(captured))
        return found

    few = counted()
    for cup in cups[1:]:
        nest(cast, slot, cup, bowl, 160)
    assert counted() == few
    assert max(few) <= 15
