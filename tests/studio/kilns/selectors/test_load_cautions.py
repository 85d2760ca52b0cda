"""What the pots of a load make of its program (bounds and sources: `studio.kilns.heat.advice`)."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from studio.kilns.models import Slot
from studio.kilns.selectors.load_view import ware_cautions
from studio.kilns.selectors.loads import contents
from studio.kilns.services.programs import add_program
from studio.room.models import ClayBody
from studio.ware.models import GreenwareCheck
from tests.cast import School, signed_in
from tests.studio.kilns.kiln_room import a_slot, text_of
from tests.studio.kilns.services.test_firing import loaded

pytestmark = pytest.mark.django_db

FAST = {
    "name": "Hasty bisque",
    "firing": "bisque",
    "start_c": 20,
    "segments": [
        {"rate_c_per_h": 100, "target_c": 600},
        {"rate_c_per_h": 60, "target_c": 998},
    ],
    "note": "",
}


def hasty(cast: School) -> Slot:
    slot, _pots = loaded(cast)
    slot.program = add_program(studio=slot.studio, by=cast.technician, program=FAST)
    slot.save(update_fields=["program"])
    return slot


def test_thin_walls_and_the_slow_bisque_ask_for_nothing(cast: School) -> None:
    slot, _pots = loaded(cast)
    assert ware_cautions(slot, contents(slot)) == []


def test_an_empty_load_asks_for_nothing(cast: School) -> None:
    slot = a_slot(cast.technician)
    assert ware_cautions(slot, contents(slot)) == []


def test_the_thickest_wall_and_the_body_are_read_in_one_query(cast: School) -> None:
    slot = hasty(cast)
    GreenwareCheck.objects.update(thickest_mm=18)
    ClayBody.objects.update(cone="08")
    load = contents(slot)
    with CaptureQueriesContext(connection) as ran:
        damp, body, quartz = ware_cautions(slot, load)
    assert len(ran) == 1
    assert "Segment 1 rises at 100\xa0°C/h below 120 °C. For a wall of 1.8\xa0cm" in damp
    assert "stay at 45\xa0°C/h or less" in damp
    assert "puts down cone 06; the clay body is made for cone 08 at most" in body
    # Newton: (573 - 20)/6 h.
    assert "It cools at 92\xa0°C/h past 573 °C" in quartz


def test_the_page_says_it_before_the_kiln_is_lit(cast: School) -> None:
    slot = hasty(cast)
    GreenwareCheck.objects.update(thickest_mm=18)
    page = text_of(signed_in(cast.technician).get(reverse("load", args=[slot.pk])))
    assert "What these pots ask of the program Segment 1 rises at 100 °C/h" in page
