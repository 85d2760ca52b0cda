"""Witness cones on the page of the log, and what they say where a program is read."""

from uuid import uuid4

import pytest
from django.urls import reverse

from studio.kilns.models import WitnessReading
from tests.cast import School, signed_in
from tests.studio.kilns.kiln_room import text_of
from tests.studio.kilns.services.test_firing import off
from tests.studio.kilns.services.test_witness import ended
from tests.studio.kilns.views.test_loads import post

pytestmark = pytest.mark.django_db


def test_a_cone_is_written_down_and_taken_out_again(cast: School) -> None:
    slot, _pots = off(cast)
    ended(slot, slot.ends_at)
    client = signed_in(cast.teacher)
    page = post(
        client,
        "firing_witness",
        slot,
        cone="05.5",
        bent="0.5",
        place="top shelf",
        kind="self_supporting_regular",
    )
    assert "The cone is written down." in page
    assert "05.5 self-supporting top shelf 50%" in page
    # Half of the way from cone 06's 998 °C to 05.5's 1015 °C at 60 °C/h: the chart.
    assert "it fires about 9 °C hotter than is computed, after one firing." in page
    kiln = text_of(client.get(reverse("kiln", args=[slot.kiln_id])))
    program = text_of(client.get(reverse("program", args=[slot.program_id])))
    for shown in (kiln, program):
        assert "By its witness cones it fires about" in shown
    taken = WitnessReading.objects.get()
    assert "It is taken out." in post(client, "firing_witness", slot, take_out=str(taken.pk))
    assert not WitnessReading.objects.exists()
    assert "No witness cones yet." in text_of(client.get(reverse("kiln", args=[slot.kiln_id])))


def test_what_is_refused_stands_at_its_field_and_nothing_is_kept(cast: School) -> None:
    slot, _pots = off(cast)
    client = signed_in(cast.teacher)
    said = {"cone": "14", "bent": "1", "kind": "large_regular"}
    assert "The chart has no such cone of this kind." in post(
        client, "firing_witness", slot, **said
    )
    assert "“7” is not on the list." in post(client, "firing_witness", slot, cone="6", bent="7")
    for wrong in (str(uuid4()), "x"):
        path = reverse("firing_witness", args=[slot.pk])
        assert client.post(path, {"take_out": wrong}).status_code in {302, 404}
    assert not WitnessReading.objects.exists()
