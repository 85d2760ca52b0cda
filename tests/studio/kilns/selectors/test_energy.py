"""What a firing takes is said where it can be, with its range, and corrected by the meter."""

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from studio.errors import Conflict, Refused
from studio.kilns.models import Slot
from studio.kilns.selectors.energy import energy_in, energy_said, metered
from studio.kilns.selectors.programs import heat_segments
from studio.kilns.services.firing import note_meter
from studio.people.models import AuditEntry
from studio.room.models import Kiln
from tests.cast import School, signed_in
from tests.studio.kilns.kiln_room import a_kiln, a_slot, program, text_of
from tests.studio.kilns.services.test_firing import off

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

KNOWN = {"power_kw": 8.0, "lining_mm": 115, "price_per_kwh": 0.3, "currency": "EUR"}


def said_on_page(cast: School) -> str:
    page = reverse("program", args=[program(cast.technician).pk])
    return text_of(signed_in(cast.technician).get(page))


def test_a_kiln_without_power_or_lining_says_nothing_of_energy(cast: School) -> None:
    a_kiln(cast.technician, **KNOWN | {"lining_mm": None})
    assert "Energy and cost" not in said_on_page(cast)


def test_a_program_says_what_it_takes_and_costs_within_a_quarter(cast: School) -> None:
    """A round kiln of 140 l: tens of kilowatt-hours to cone 06 (common practice, no source)."""
    kiln = a_kiln(cast.technician, **KNOWN)
    segments = heat_segments(program(cast.technician).segments)
    found = energy_in(kiln, 20, segments, ())
    assert found is not None
    assert 35 < found.likely_kwh < 110
    assert found.low_kwh == pytest.approx(0.75 * found.likely_kwh)
    said = said_on_page(cast)
    likely = round(found.likely_kwh)
    assert f"About {likely} kWh with a full load" in said
    assert f"That costs about {round(0.3 * found.likely_kwh)} EUR" in said
    assert "so it may be 25% off" in said.replace(" %", "%")


def test_a_metered_firing_corrects_the_next_and_narrows_it_to_a_tenth(cast: School) -> None:
    slot, _pots = off(cast)
    Kiln.objects.filter(pk=slot.kiln_id).update(**KNOWN)
    kiln = Kiln.objects.get(pk=slot.kiln_id)
    segments = heat_segments(slot.program.segments)
    before = energy_in(kiln, slot.program.start_c, segments, ())
    assert before is not None
    note_meter(slot=slot, kwh=1.2 * before.likely_kwh, by=cast.technician)
    known = metered([kiln])[kiln.pk]
    assert known == [pytest.approx(1.2)]
    after = energy_in(kiln, slot.program.start_c, segments, known)
    assert after is not None
    assert after.likely_kwh == pytest.approx(1.2 * before.likely_kwh)
    assert (after.uncertainty_pct, after.firings) == (10, 1)
    said = energy_said(kiln, after).replace("\xa0", " ").replace(" %", "%")
    assert said.endswith("Corrected with 1 metered firing, so within about 10%.")


def test_little_money_keeps_its_hundredths_and_no_price_says_no_cost(cast: School) -> None:
    kiln = a_kiln(cast.technician, **KNOWN | {"price_per_kwh": 0.05, "currency": ""})
    found = energy_in(kiln, 20, heat_segments(program(cast.technician).segments), ())
    assert found is not None
    assert f"about {0.05 * found.likely_kwh:.2f}, between" in energy_said(kiln, found)
    kiln.price_per_kwh = None
    assert "costs" not in energy_said(kiln, found)


def test_the_meter_is_read_on_the_log_of_a_firing_that_is_off(cast: School) -> None:
    slot, _pots = off(cast)
    client, address = signed_in(cast.technician), reverse("firing_meter", args=[slot.pk])
    assert "The meter" in text_of(client.post(address, {"kwh": "62.5"}, follow=True))
    assert Slot.objects.get(pk=slot.pk).metered_kwh == 62.5
    note_meter(slot=slot, kwh=62.5, by=cast.technician)
    line = AuditEntry.objects.get(action="meter read")
    assert (line.before["kwh"], line.after["kwh"]) == (None, 62.5)
    assert "greater than or equal to 1" in text_of(client.post(address, {"kwh": "0"}))
    with pytest.raises(Refused, match="between 1 and 5000 kWh"):
        note_meter(slot=slot, kwh=float("nan"), by=cast.technician)
    with pytest.raises(PermissionDenied):
        note_meter(slot=slot, kwh=50, by=cast.student)
    client.post(address, {"kwh": ""})
    assert Slot.objects.get(pk=slot.pk).metered_kwh is None


def test_a_kiln_that_is_not_off_has_no_meter_to_read(cast: School) -> None:
    slot = a_slot(cast.technician)
    with pytest.raises(Conflict, match="that this kiln is off"):
        note_meter(slot=slot, kwh=50, by=cast.technician)
    answer = signed_in(cast.technician).post(reverse("firing_meter", args=[slot.pk]), {"kwh": "50"})
    assert answer.status_code == 409
    assert "that this kiln is off" in answer.content.decode()


def test_a_kiln_is_described_with_its_energy(cast: School) -> None:
    kiln = a_kiln(cast.technician, **KNOWN)
    html = signed_in(cast.technician).get(reverse("kiln", args=[kiln.pk])).content.decode()
    assert 'name="power_kw" value="8"' in html
    assert 'name="lining_mm" value="11.5"' in html
    with pytest.raises(Refused) as refused:
        a_kiln(cast.technician, name="Other", **KNOWN | {"currency": "euro"})
    assert refused.value.problems[0].field == "currency"
