"""Loads and firings over the API: the same services, the same refusals, once for a key."""

from typing import Any

import pytest
from django.urls import reverse
from rest_framework.test import APIClient

from studio.kilns.models import LogEntry, Placement, Slot
from studio.people.models import User
from studio.ware.models import Pot
from tests.cast import School
from tests.studio.kilns.kiln_room import a_slot
from tests.studio.kilns.loading import again, many_dry
from tests.studio.kilns.nesting import BOWL, CUP, a_load
from tests.studio.kilns.services.test_firing import lit, loaded, off

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def asking(person: User) -> APIClient:
    client = APIClient()
    client.force_authenticate(person)
    return client


def post(person: User, name: str, slot: Slot, body: Any = None, key: str = "") -> tuple[int, Any]:
    headers = {"Idempotency-Key": key} if key else {}
    address = reverse(name, args=[slot.pk])
    answer = asking(person).post(address, body or {}, format="json", headers=headers)
    return answer.status_code, answer.json()


def get(person: User, name: str, slot: Slot) -> dict[str, Any]:
    answer = asking(person).get(reverse(name, args=[slot.pk]))
    assert answer.status_code == 200
    body: dict[str, Any] = answer.json()
    return body


def ids(pots: list[Pot]) -> list[str]:
    return [str(pot.pk) for pot in pots]


def test_pots_wait_go_in_and_stand_where_it_says(cast: School) -> None:
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 3)
    by = cast.technician
    waiting = get(by, "api_waiting", slot)["results"]
    assert {each["code"] for each in waiting} == {pot.code for pot in pots}
    status, told = post(by, "api_placements", slot, {"pots": ids(pots[:2])}, key="k")
    assert status == 200
    assert {each["pot"] for each in told["placed"]} == set(ids(pots[:2]))
    assert told["left_out"] == []
    assert post(by, "api_placements", slot, {"pots": ids(pots[:2])}, key="k") == (status, told)
    listed = get(by, "api_placements", slot)
    assert listed["count"] == 2
    load = get(by, "api_load", slot)
    assert load["pots"] == 2
    assert 0 < load["share_filled"] < 1
    assert load["posts_mm"][-1] is None


def test_it_is_filled_pinned_placed_anew_and_emptied(cast: School) -> None:
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 4)
    by = cast.teacher
    assert len(post(by, "api_load_fill", slot)[1]["placed"]) == 4
    status, changed = post(by, "api_load_pin", slot, {"pots": ids(pots[:1]), "pinned": True})
    assert (status, [each["pinned"] for each in changed]) == (200, [True])
    assert post(by, "api_load_anew", slot) == (200, {"moved": True})
    assert post(by, "api_load_take_out", slot, {"pots": ids(pots)})[1]["pots"] == 0
    assert post(by, "api_load_anew", slot) == (200, {"moved": False})


def test_what_fits_nowhere_is_a_conflict_with_a_sentence_for_each(cast: School) -> None:
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 2)
    post(cast.teacher, "api_placements", slot, {"pots": ids(pots)})
    status, told = post(cast.teacher, "api_placements", slot, {"pots": ids(pots)})
    assert status == 409
    assert [each["detail"] for each in told["errors"]] == [
        f"{pot.code} is in this load already." for pot in pots
    ]


def test_pots_of_nobody_here_are_refused_at_their_place(cast: School) -> None:
    slot = a_slot(cast.technician)
    (pot,) = many_dry(cast, 1)
    there = a_slot(cast.elsewhere.technician)
    status, told = post(cast.elsewhere.technician, "api_placements", there, {"pots": ids([pot])})
    assert (status, told["errors"][0]["field"]) == (400, "pots.0")
    assert post(cast.teacher, "api_placements", slot, {"pots": []})[0] == 400


def test_a_firing_is_told_from_lighting_to_unloading(cast: School) -> None:
    slot, pots = loaded(cast, 2)
    by = cast.technician
    status, told = post(by, "api_light", slot)
    assert (status, told["errors"][0]["field"]) == (422, "part_full_reason")
    status, told = post(by, "api_light", slot, {"part_full_reason": "Before Thursday"})
    assert (status, told["lit_by"]) == (200, str(by.pk))
    assert post(by, "api_light_undo", slot)[1]["lit_at"] is None
    post(by, "api_light", slot, {"part_full_reason": "Before Thursday"})
    assert post(by, "api_firing_log", slot, {"temp_c": 85}, key="k")[0] == 201
    post(by, "api_firing_log", slot, {"temp_c": 85}, key="k")
    assert LogEntry.objects.count() == 1
    assert get(by, "api_firing_log", slot)["results"][0]["temp_c"] == 85
    assert post(by, "api_firing_off", slot, {"witness_cone": "06"})[1]["off_by"] == str(by.pk)
    assert post(by, "api_firing_off_undo", slot)[1]["off_at"] is None
    post(by, "api_firing_off", slot)
    results = [{"pot": pk} for pk in ids(pots)]
    unloaded = {"results": results, "read_below": True}
    status, told = post(by, "api_firing_unload", slot, unloaded)
    assert (status, told["errors"][0]["field"]) == (422, "reached")  # lit and off within a minute
    status, told = post(by, "api_firing_unload", slot, unloaded | {"reached": True})
    assert (status, told["unloaded_by"]) == (200, str(by.pk))
    assert {pot.stage for pot in again(pots)} == {"bisque_fired"}
    assert set(Placement.objects.values_list("done", flat=True)) == {True}


def test_a_hot_kiln_is_not_unloaded(cast: School) -> None:
    slot, pots = off(cast, 2)
    results = [{"pot": pk} for pk in ids(pots)]
    status, told = post(
        cast.technician, "api_firing_unload", slot, {"results": results, "read_below": False}
    )
    assert (status, told["errors"][0]["field"]) == (422, "read_below")


@pytest.mark.parametrize("body", [{}, {"temp_c": "85"}, {"temp_c": 1e9}, {"note": "x" * 201}])
def test_a_log_takes_numbers_and_short_words(body: dict[str, Any], cast: School) -> None:
    slot, _pots = lit(cast, 2)
    assert post(cast.technician, "api_firing_log", slot, body)[0] in {400, 422}


def test_witness_cones_are_read_written_and_taken_out(cast: School) -> None:
    slot, _pots = lit(cast, 2)
    by = cast.technician
    body = {"cone": "06", "bent": 0.5, "place": "bottom shelf"}
    status, told = post(by, "api_firing_witness", slot, body, key="k")
    assert (status, told["bent"], told["kind"]) == (201, 0.5, "self_supporting_regular")
    assert post(by, "api_firing_witness", slot, body, key="k") == (status, told)
    # Read anew: the figure for the same cone at the same place.
    post(by, "api_firing_witness", slot, body | {"bent": 1})
    (row,) = get(by, "api_firing_witness", slot)["results"]
    assert (row["id"], row["bent"], row["by"]) == (told["id"], 1, str(by.pk))
    address = reverse("api_firing_witness_one", args=[slot.pk, told["id"]])
    for answered in (204, 404):
        assert asking(by).delete(address).status_code == answered
    assert get(by, "api_firing_witness", slot)["count"] == 0


@pytest.mark.parametrize(
    ("body", "field", "status"),
    [
        ({"cone": "06", "bent": 2}, "bent", 400),
        ({"cone": "06", "bent": 1, "kind": "junior"}, "kind", 400),
        ({"cone": "99", "bent": 1}, "cone", 422),
    ],
)
def test_a_cone_that_is_none_is_refused_at_its_field(
    body: dict[str, Any], field: str, status: int, cast: School
) -> None:
    slot, _pots = lit(cast, 2)
    got, told = post(cast.technician, "api_firing_witness", slot, body)
    assert (got, told["errors"][0]["field"]) == (status, field)


def test_a_kiln_that_is_not_lit_has_no_witness_cones(cast: School) -> None:
    slot = a_slot(cast.technician)
    body = {"cone": "06", "bent": 1}
    status, told = post(cast.technician, "api_firing_witness", slot, body)
    assert (status, told["detail"]) == (409, "This kiln isn't lit. Say first that it is.")


def test_a_pot_is_moved_and_refused_with_the_sentences_of_the_page(cast: School) -> None:
    slot, pots = loaded(cast, 2)
    by = cast.technician
    rows = {row["pot"]: row for row in get(by, "api_placements", slot)["results"]}
    (first, second) = (rows[pk] for pk in ids(pots))
    names = ("layer", "x_mm", "y_mm", "turn_deg")
    seen = {name: first[name] for name in names}
    onto = {name: second[name] for name in names}
    status, told = post(by, "api_load_move", slot, {"pot": first["pot"], "to": onto, "seen": seen})
    assert status == 422
    assert "overlap by" in told["detail"]
    there = {"layer": 1, "x_mm": 0, "y_mm": 0}
    body = {"pot": first["pot"], "to": there, "seen": seen}
    status, told = post(by, "api_load_move", slot, body)
    assert (status, told["layer"], told["pinned"]) == (200, 1, True)
    assert len(get(by, "api_load", slot)["posts_mm"]) == 2
    status, told = post(by, "api_load_move", slot, body | {"to": there | {"x_mm": 9}})
    assert (status, told["detail"]) == (
        409,
        f"{first['code']} was moved meanwhile. Look where it stands now, and move it again.",
    )


def test_a_pot_is_nested_measured_anew_and_stands_by_itself_again(cast: School) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    by = cast.technician
    address = reverse("api_load_nest", args=[slot.pk, cup.pk])

    def nest(**body: object) -> tuple[int, Any]:
        answer = asking(by).post(address, {"host": str(bowl.pk)} | body, format="json")
        return answer.status_code, answer.json()

    status, told = nest(together_mm=60)
    assert (status, told["errors"][0]["field"]) == (422, "together_mm")
    status, told = nest(together_mm=120)
    assert (status, told["host"]) == (200, str(bowl.pk))
    assert nest(together_mm=150, seen=ids([cup]))[0] == 200
    rows = {row["pot"]: row for row in get(by, "api_placements", slot)["results"]}
    assert [rows[pk]["host"] for pk in ids([bowl, cup])] == [None, str(bowl.pk)]
    assert [rows[pk]["together_mm"] for pk in ids([bowl, cup])] == [150, None]
    assert get(by, "api_load", slot)["pots"] == 2
    status, told = post(by, "api_load_take_out", slot, {"pots": ids([bowl])})
    assert (status, told["errors"][0]["field"]) == (409, "pots")
    for _again in range(2):
        answer = asking(by).delete(address)
        assert (answer.status_code, answer.json()["host"]) == (200, None)


@pytest.mark.parametrize(
    ("body", "field"),
    [
        ({"together_mm": 120}, "host"),
        ({"host": "00000000-0000-0000-0000-000000000000", "together_mm": 120}, "host"),
        ({"together_mm": "120"}, "together_mm"),
        ({"together_mm": -1}, "together_mm"),
        ({"seen": ["none"]}, "seen.0"),
    ],
)
def test_what_cannot_be_nested_is_refused_at_its_field(
    body: dict[str, Any], field: str, cast: School
) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    address = reverse("api_load_nest", args=[slot.pk, cup.pk])
    whole = {"host": str(bowl.pk), "together_mm": 120} | body
    if field == "host" and "host" not in body:
        del whole["host"]
    answer = asking(cast.technician).post(address, whole, format="json")
    assert answer.status_code == 400
    assert answer.json()["errors"][0]["field"] == field
