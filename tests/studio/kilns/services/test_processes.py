"""Several people at one kiln at the same moment: one acts, the others read a sentence."""

from collections.abc import Sequence

import pytest

from studio.kilns.models import LogEntry, Placement, Slot
from studio.people.models import User
from studio.ware.models import Pot
from tests.at_once import at_once
from tests.cast import School, school
from tests.studio.kilns.kiln_room import a_kiln, a_slot
from tests.studio.kilns.loading import many_dry, wrong_with
from tests.studio.kilns.services.one_of_two import said_of
from tests.studio.kilns.services.test_firing import loaded

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]

Asked = tuple[str, Slot, User, str, Sequence[Pot]]


def all_at_once(*asked: Asked) -> list[str]:
    """What each reads."""
    words = [
        (kind, str(slot.pk), str(by.pk), key, *(str(pot.pk) for pot in pots))
        for kind, slot, by, key, pots in asked
    ]
    return [said for answer in at_once(said_of, words) for said in answer]


def one_place(cast: School) -> Slot:
    """A kiln in which one pot of the size below has room."""
    kiln = a_kiln(cast.technician, shelf_width_mm=300, shelf_depth_mm=300, usable_height_mm=250)
    return a_slot(cast.technician, kiln=kiln)


def test_the_last_place_goes_to_one_of_two_people_and_the_other_reads_a_sentence() -> None:
    cast = school()
    slot = one_place(cast)
    pots = many_dry(cast, 4, sizes=((200, 200, 150),))
    people = (cast.technician, cast.teacher, cast.head, cast.other_teacher)
    said = all_at_once(*(("place", slot, by, f"key-{n}", [pots[n]]) for n, by in enumerate(people)))
    assert sorted(said)[0] == "placed 1"
    winner = said.index("placed 1")
    for n, each in enumerate(said):
        if n != winner:
            assert each.startswith(f"refused: No room is left for {pots[n].code} in this load.")
    assert Placement.objects.get().pot_id == pots[winner].pk
    assert wrong_with(slot) == []


def test_one_pot_goes_into_one_of_two_kilns() -> None:
    cast = school()
    slot = a_slot(cast.technician)
    other = a_slot(cast.technician, kiln=a_kiln(cast.technician, name="Small kiln"))
    pots = many_dry(cast, 1)
    said = sorted(
        all_at_once(
            ("place", slot, cast.technician, "key-1", pots),
            ("place", other, cast.teacher, "key-2", pots),
        )
    )
    assert said[0] == "placed 1"
    assert said[1].startswith(f"refused: {pots[0].code} is in the load of ")
    assert Placement.objects.count() == 1


def test_two_who_fill_at_once_make_one_sound_load() -> None:
    cast = school()
    slot = a_slot(cast.technician)
    many_dry(cast, 10)
    said = all_at_once(*(("fill", slot, by, "", []) for by in (cast.technician, cast.teacher)))
    assert "placed 10" in said
    assert Placement.objects.count() == 10
    assert wrong_with(slot) == []


def test_a_double_tap_places_once_and_both_read_the_same() -> None:
    cast = school()
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 3)
    said = all_at_once(*[("place", slot, cast.technician, "the same key", pots)] * 3)
    assert said == ["placed 3"] * 3
    assert Placement.objects.count() == 3


def test_a_kiln_is_lit_once_and_its_log_written_once() -> None:
    cast = school()
    slot, _pots = loaded(cast, 2)
    said = sorted(
        all_at_once(*(("light", slot, by, "", []) for by in (cast.technician, cast.teacher)))
    )
    assert said[0] == "lit"
    assert said[1].startswith("refused: It is lit already, since Thursday 19 March 2026")
    tapped = all_at_once(*[("log", slot, cast.technician, "the same key", [])] * 3)
    assert tapped == ["logged"] * 3
    assert LogEntry.objects.count() == 1


def test_pots_go_in_before_it_is_lit_or_not_at_all() -> None:
    cast = school()
    slot, pots = loaded(cast, 3)
    later = many_dry(cast, 1, section=cast.other_section, teacher=cast.other_teacher, title="B")
    said = all_at_once(
        ("light", slot, cast.technician, "", []), ("place", slot, cast.teacher, "key", later)
    )
    assert said[0] == "lit"
    assert said[1] == "placed 1" or said[1].startswith("refused: The kiln is lit")
    assert Placement.objects.count() == len(pots) + (said[1] == "placed 1")
