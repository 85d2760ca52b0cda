"""The page of a load: drawn, filled, changed, lit, on a fixed number of queries."""

import re
from collections.abc import Sequence

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from studio.kilns.models import Placement, Slot
from studio.kilns.services.loads import place_pots
from studio.kilns.services.slots import cancel_slot
from studio.people.models import User
from studio.room.models import Kiln
from studio.ware.models import Pot
from tests.cast import NOW, School, signed_in
from tests.studio.kilns.kiln_room import a_kiln, a_slot
from tests.studio.kilns.loading import many_dry, wrong_with
from tests.studio.kilns.services.test_firing import lit, loaded

pytestmark = pytest.mark.django_db


def page(client: Client, slot: Slot) -> str:
    answer = client.get(reverse("load", args=[slot.pk]))
    assert answer.status_code == 200
    return str(answer.content.decode())


def post(client: Client, name: str, slot: Slot, **values: object) -> str:
    """Posted and followed; what stands on the page that answers, in plain words."""
    answer = client.post(reverse(name, args=[slot.pk]), values, follow=True)
    return text(answer.content.decode())


def text(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html[html.index("<body") :]).split())


def ids(pots: Sequence[Pot]) -> list[str]:
    return [str(pot.pk) for pot in pots]


@pytest.mark.both_databases
def test_as_few_queries_for_sixty_pots_as_for_six(cast: School) -> None:
    """A kiln large enough for all; half of them are in it, half wait."""
    measures = {"shelf_width_mm": 1400, "shelf_depth_mm": 1400, "usable_height_mm": 1000}
    slot = a_slot(cast.technician, kiln=a_kiln(cast.technician, **measures))
    few = many_dry(cast, 6)
    place_pots(slot=slot, pots=few[:3], by=cast.technician, at=NOW)
    client = signed_in(cast.technician)
    counted = queries(client, slot)
    many = many_dry(cast, 54, section=cast.other_section, teacher=cast.other_teacher, title="B")
    place_pots(slot=slot, pots=many[:27], by=cast.technician, at=NOW)
    assert queries(client, slot) == counted
    assert max(counted.values()) <= 15


def queries(client: Client, slot: Slot) -> dict[str, int]:
    counted = {}
    for name in ("load", "firing_log", "firing_unload", "kiln_schedule", "kiln_schedule_pdf"):
        of = [] if "schedule" in name else [slot.pk]
        address = reverse(name, args=of) + "?week=2026-03-19"
        client.get(address)
        with CaptureQueriesContext(connection) as captured:
            assert client.get(address).status_code == 200
        counted[name] = len(captured)
    return counted


def test_every_pot_is_drawn_with_its_code_and_stands_in_the_list_beside_it(cast: School) -> None:
    slot, pots = loaded(cast, 4)
    html = page(signed_in(cast.technician), slot)
    drawn = re.findall(r'<text class="layer-code"[^>]*>([^<]+)</text>', html)
    assert sorted(drawn) == sorted(pot.code for pot in pots)
    listed = re.findall(r'<th scope="row" class="code">([^<\s]+)', html)
    assert sorted(listed) == sorted(drawn)
    assert "Pupil00 O." in html
    assert "Oakes" not in html


def test_filling_names_what_did_not_fit(cast: School) -> None:
    kiln = a_kiln(cast.technician, shelf_width_mm=300, shelf_depth_mm=300, usable_height_mm=250)
    slot = a_slot(cast.technician, kiln=kiln)
    first, second = many_dry(cast, 2, sizes=((200, 200, 150),))
    said = post(signed_in(cast.technician), "load_fill", slot, once="key")
    assert "1 pot went in." in said
    assert "No room is left for " in said
    assert Placement.objects.count() == 1
    assert {first.pk, second.pk} > set(Placement.objects.values_list("pot", flat=True))


def test_a_second_tap_says_the_same_and_places_nothing_more(cast: School) -> None:
    slot = a_slot(cast.technician)
    many_dry(cast, 3)
    client = signed_in(cast.technician)
    assert "3 pots went in." in post(client, "load_fill", slot, once="key")
    placed = list(Placement.objects.values_list("pk", flat=True))
    again = post(client, "load_fill", slot, once="key")
    assert "3 pots went in." in again
    assert list(Placement.objects.values_list("pk", flat=True)) == placed


def test_a_class_goes_in_by_itself(cast: School) -> None:
    slot = a_slot(cast.technician)
    ours = many_dry(cast, 2)
    many_dry(cast, 2, section=cast.other_section, teacher=cast.other_teacher, title="B")
    client = signed_in(cast.teacher)
    post(client, "load_fill", slot, section=str(cast.section.pk), once="key")
    assert set(Placement.objects.values_list("pot", flat=True)) == {pot.pk for pot in ours}


def test_ticked_pots_go_in_come_out_and_are_pinned(cast: School) -> None:
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 4)
    client = signed_in(cast.technician)
    assert "3 pots went in." in post(client, "load_place", slot, pots=ids(pots[:3]), once="k")
    said = post(client, "load_change", slot, pots=ids(pots[:1]), take_out="1")
    assert "1 pot is out again." in said
    assert "Pinned: they stay" in post(client, "load_change", slot, pots=ids(pots[1:2]), pin="1")
    assert Placement.objects.get(pot=pots[1]).pinned
    assert "Placed anew." in post(client, "load_anew", slot)
    assert "No longer pinned." in post(client, "load_change", slot, pots=ids(pots[1:2]), unpin="1")
    assert wrong_with(slot) == []


def test_what_is_no_pot_here_is_passed_over_with_a_sentence(cast: School) -> None:
    slot = a_slot(cast.technician)
    client = signed_in(cast.technician)
    assert "Choose at least one pot" in post(client, "load_place", slot, pots=["nonsense"])
    assert "Nothing moved" in post(client, "load_anew", slot)


def test_a_part_full_kiln_is_lit_with_a_reason_and_not_without(cast: School) -> None:
    slot, _pots = loaded(cast, 2)
    client = signed_in(cast.technician)
    html = page(client, slot)
    assert "Why it fires part full" in html
    assert "A photo before the firing is asked, and 2 pots have none:" in html
    assert "Write in a line why it fires part full" in post(client, "load_light", slot)
    said = post(client, "load_light", slot, part_full_reason="The class ends")
    assert "It is lit." in said
    assert "Lit by Joost Bakker" in text(page(client, slot))
    assert "Part full: The class ends" in page(client, slot)
    assert "Taken back: it is not lit." in post(client, "load_light_undo", slot)


def test_a_form_that_is_too_long_comes_back(cast: School) -> None:
    slot, _pots = loaded(cast, 2)
    said = post(signed_in(cast.technician), "load_light", slot, part_full_reason="x" * 201)
    assert "at most 200 characters" in said


def test_a_lit_load_offers_nothing_to_change(cast: School) -> None:
    slot, _pots = lit(cast, 2)
    html = page(signed_in(cast.technician), slot)
    assert "It is lit already" in post(signed_in(cast.teacher), "load_light", slot)
    assert "load/change" not in html
    assert "load/fill" not in html


def test_a_cancelled_firing_and_a_shrunken_kiln_are_said(cast: School) -> None:
    slot, _pots = loaded(cast, 2)
    Kiln.objects.filter(pk=slot.kiln_id).update(usable_height_mm=120)
    client = signed_in(cast.technician)
    assert "The layers together are" in text(page(client, slot))
    Kiln.objects.filter(pk=slot.kiln_id).update(usable_height_mm=660)
    cancel_slot(slot=slot, by=cast.technician, at=NOW)
    assert "This firing is cancelled; nothing goes in." in page(client, slot)


def test_who_may_not_see_the_slot_finds_nothing(cast: School) -> None:
    slot = a_slot(cast.technician)
    answers: dict[User, int] = {cast.student: 403, cast.elsewhere.technician: 404}
    for person, status in answers.items():
        assert signed_in(person).get(reverse("load", args=[slot.pk])).status_code == status
