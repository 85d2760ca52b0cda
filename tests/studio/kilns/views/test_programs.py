"""The list of programs and their editor, with and without scripts."""

from typing import Any

import pytest
from django.urls import reverse

from studio.kilns.models import Program
from tests.cast import School, signed_in
from tests.studio.kilns.kiln_room import a_kiln, a_slot, program, text_of

pytestmark = pytest.mark.django_db

Rows = tuple[tuple[str, str, str], ...]
CONE_6: Rows = (("100", "600", ""), ("60", "1222", ""))


def typed(rows: Rows = CONE_6, **changed: Any) -> dict[str, Any]:
    data: dict[str, Any] = {
        "segments-TOTAL_FORMS": len(rows) + 1,
        "segments-INITIAL_FORMS": 0,
        "name": "Cone 6, short",
        "firing": "glaze",
        "start_c": "20",
        "note": "Vent on.",
    }
    for place, row in enumerate(rows):
        for name, value in zip(("rate_c_per_h", "target_c", "hold_min"), row, strict=True):
            data[f"segments-{place}-{name}"] = value
    return data | changed


def test_a_program_is_written_and_says_what_it_does(cast: School) -> None:
    a_kiln(cast.technician)
    a_kiln(cast.technician, name="Small kiln", most_c=1100)
    page = text_of(signed_in(cast.technician).post(reverse("program_new"), typed(), follow=True))
    assert "Cone 6, short is on the list." in page
    # 580/100 + 622/60 = 16 h 10 min; end point of cone 6 at 60 °C/h: 1222 °C (the table's S1).
    assert "Cone 6 goes down. The witness cone decides." in page
    assert "Heat work for self-supporting regular cones" in page
    assert "chart of 2016; the last 100 °C at 60 °C/h." in page
    assert "Runs for 16 h 15 min" in page
    # Newton: 6 ln(1202/40) = 20.4 h.
    assert "cools for about 20 h 30 min, unloaded 36 h 30 min after it was lit." in page
    assert "too hot: it takes 1100 °C at most" in page
    assert "Temperature over time: up to 1222 °C in 16 h 15 min" in page


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ((("100", "600", ""), ("60", "1231", "")), "Cone 6 goes down, cone 7 about half."),
        ((("100", "600", ""), ("60", "1236", "")), "Cone 6 goes down, cone 7 nearly."),
        ((("100", "500", ""),), "No cone of the table goes down."),
        ((("100", "1222", "30"),), "The climb alone would put down cone 5.5."),
        ((("100", "1222", "30"),), "add as much heat work as 29 °C more at the peak would"),
        ((("300", "1222", ""),), "faster than the 150 °C/h that the chart ends at"),
        ((("5", "600", ""),), "slower than the"),
    ],
)
def test_the_figures_follow_what_is_typed_and_nothing_is_kept(
    cast: School, rows: Rows, says: str
) -> None:
    """Cone 6 is down at 1222 °C and cone 7 at 1239 °C, heated at 60 °C/h (the table's S1)."""
    client = signed_in(cast.teacher)
    assert says in text_of(client.post(reverse("program_live"), typed(rows)))
    assert not Program.objects.exists()


@pytest.mark.parametrize(
    "changed",
    [
        {"segments-0-rate_c_per_h": "0"},
        {"segments-0-target_c": "x"},
        {"segments-0-target_c": ""},
        {"start_c": ""},
        {"segments-TOTAL_FORMS": "x"},
    ],
)
def test_figures_of_what_can_t_be_followed_say_what_is_missing(
    cast: School, changed: dict[str, str]
) -> None:
    page = text_of(signed_in(cast.teacher).post(reverse("program_live"), typed() | changed))
    assert "Give a rate and a target or more" in page


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"segments-1-rate_c_per_h": ""}, "How many degrees an hour?"),
        ({"segments-1-target_c": ""}, "Up or down to which temperature?"),
        ({"segments-1-target_c": "warm"}, "This is not a number"),
        ({"segments-1-hold_min": "-5"}, "Hold there, minutes: This can't be less than 0."),
        ({"segments-1-target_c": "1800"}, "To, °C: 1800 °C is hotter than any kiln."),
        ({"start_c": "1300"}, "The kiln never heats."),
        ({"start_c": "-90"}, "Starts from, °C: -?−?90 °C is colder"),
        ({"name": ""}, "This can't stay empty"),
    ],
)
def test_what_is_refused_stands_at_its_field(
    cast: School, changed: dict[str, str], says: str
) -> None:
    client = signed_in(cast.teacher)
    page = text_of(client.post(reverse("program_new"), typed() | changed))
    assert says.replace("-?−?", "−") in page
    assert not Program.objects.exists()


def test_a_row_refused_by_the_service_is_the_row_that_was_typed(cast: School) -> None:
    """An empty line above doesn't move the sentence to another one."""
    rows = (("100", "600", ""), ("", "", ""), ("60", "1800", ""))
    answer = signed_in(cast.teacher).post(reverse("program_new"), typed(rows))
    third = answer.content.decode().partition('name="segments-1-hold_min"')[2]
    assert "hotter than any kiln" in third


def test_no_row_at_all_is_refused_in_a_sentence(cast: School) -> None:
    page = text_of(signed_in(cast.teacher).post(reverse("program_new"), typed(())))
    assert "A program needs at least one segment." in page


def test_a_used_program_becomes_a_new_one(cast: School) -> None:
    old = a_slot(cast.technician).program
    client = signed_in(cast.technician)
    path = reverse("program", args=[old.pk])
    assert "it stays as it is. What you change becomes a new program" in text_of(client.get(path))
    page = text_of(client.post(path, typed(name=old.name, firing="bisque"), follow=True))
    assert "Kept as a new program. Firings that were planned keep the old one." in page
    page = text_of(client.get(path))
    assert "No longer used. Bring it back before you change it." in page
    assert "Bring it back before you change it" in text_of(client.post(path, typed()))


def test_a_program_is_changed_retired_and_brought_back(cast: School) -> None:
    a_kiln(cast.technician)
    glaze = program(cast.head, "glaze")
    client = signed_in(cast.teacher)
    path = reverse("program", args=[glaze.pk])
    assert 'value="110"' in client.get(path).content.decode()
    assert "Kept." in text_of(client.post(path, typed(), follow=True))
    away = client.post(reverse("program_retire", args=[glaze.pk]), follow=True)
    assert "Cone 6, short is no longer offered." in text_of(away)
    back = client.post(reverse("program_bring_back", args=[glaze.pk]), follow=True)
    assert "Cone 6, short is offered again." in text_of(back)
