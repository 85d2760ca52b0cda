"""Pots over the API: the services' answers and refusals as JSON."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from studio.ware.models import DrynessCheck, Flaw, GreenwareCheck, Loss, Place, Pot
from studio.ware.services import lose_pots
from tests.cast import NOW, School, signed_in
from tests.planning.work import photo
from tests.studio.ware.pots import SIZES, a_glaze, a_place, a_pot, again, bisqued, check, move

pytestmark = pytest.mark.django_db


def sent(client: Client, name: str, /, *of: object, **said: Any) -> Any:
    """The answer to a POST, with its body as JSON."""
    headers = {"Idempotency-Key": said.pop("key")} if "key" in said else {}
    return client.post(
        reverse(name, args=of), said, content_type="application/json", headers=headers
    )


def read(client: Client, name: str, *of: object) -> Any:
    answer = client.get(reverse(name, args=of))
    assert answer.status_code == 200
    return answer.json()


def test_a_student_reads_and_moves_their_own(cast: School) -> None:
    pot = a_pot(cast)
    a_pot(cast, "Somebody's", cast.classmate)
    client = signed_in(cast.student)
    [listed] = read(client, "api_pots")["results"]
    assert (listed["code"], listed["stage"]) == (pot.code, "wet")
    assert read(client, "api_pot", pot.pk) == listed
    answer = sent(client, "api_pots_stage", pots=[str(pot.pk)], stage="leather_hard")
    assert answer.status_code == 200, answer.json()
    assert [each["stage"] for each in answer.json()] == ["leather_hard"]
    steps = read(client, "api_pot_stages", pot.pk)["results"]
    assert [step["stage"] for step in steps] == ["wet", "leather_hard"]
    assert client.get(reverse("api_pots"), {"stage": "wet"}).json()["count"] == 0
    assert client.get(reverse("api_pots"), {"stage": "odd"}).json()["count"] == 0


def test_a_refusal_is_a_problem_document_with_a_field(cast: School) -> None:
    pot = a_pot(cast)
    answer = sent(signed_in(cast.teacher), "api_pots_stage", pots=[str(pot.pk)], stage="glazed")
    assert (answer.status_code, answer["Content-Type"]) == (422, "application/problem+json")
    [error] = answer.json()["errors"]
    assert error["field"] == "pots"
    assert "can't come to glazed in one step" in error["detail"]


def test_pots_that_you_don_t_see_are_not_found(cast: School) -> None:
    pot = a_pot(cast)
    for by in (cast.classmate, cast.other_teacher, cast.elsewhere.head):
        answer = sent(signed_in(by), "api_pots_stage", pots=[str(pot.pk)], stage="leather_hard")
        assert answer.status_code == 404


def test_many_are_placed_and_covered(cast: School) -> None:
    pots = [a_pot(cast, "One"), a_pot(cast, "Two", cast.classmate)]
    ids, place = [str(pot.pk) for pot in pots], a_place(cast)
    client = signed_in(cast.technician)
    assert sent(client, "api_pots_place", pots=ids, place=str(place.pk)).status_code == 200
    assert sent(client, "api_pots_cover", pots=ids, covered=True).status_code == 200
    assert {again(pot).place for pot in pots} == {place}
    assert all(again(pot).covered_since for pot in pots)
    sent(client, "api_pots_cover", pots=ids, covered=False)
    assert not any(again(pot).covered_since for pot in pots)


def test_a_greenware_check_is_asked_about_confirmed_and_taken_back(cast: School) -> None:
    pot, client = a_pot(cast), signed_in(cast.teacher)
    sent(signed_in(cast.student), "api_pot_built", pot.pk, built=True)
    assert again(pot).said_built_at
    asked = sent(client, "api_greenware", pot.pk, **SIZES | {"height_mm": 19.4})
    assert asked.status_code == 422
    assert asked.json()["errors"][0]["field"] == "height_mm"
    for _retry in range(2):
        made = sent(client, "api_greenware", pot.pk, key="one", **SIZES)
        assert made.status_code == 201
    assert GreenwareCheck.objects.count() == 1
    back = sent(client, "api_greenware_take_back", pot.pk, reason="Two rows more")
    assert back.json()["withdrawn_at"]
    [listed] = read(client, "api_greenware", pot.pk)["results"]
    assert listed["by"] == cast.teacher.name


def test_building_goes_on_after_all(cast: School) -> None:
    pot, client = a_pot(cast), signed_in(cast.student)
    sent(client, "api_pot_built", pot.pk, built=True)
    sent(client, "api_pot_built", pot.pk, built=False)
    assert again(pot).said_built_at is None


def test_dryness_and_glaze_checks(cast: School) -> None:
    pot, client = a_pot(cast), signed_in(cast.technician)
    move(pot, "leather_hard", cast.teacher)
    check(pot, cast.teacher)
    assert sent(client, "api_pots_dryness", pots=[str(pot.pk)], air_dry=True).status_code == 200
    assert (again(pot).stage, DrynessCheck.objects.count()) == ("bone_dry", 1)
    assert read(client, "api_pot_dryness", pot.pk)["results"][0]["air_dry"]
    move(pot, "bisque_fired", cast.teacher, reason="Unloaded")
    glaze = a_glaze(cast)
    said = {"glazes": [str(glaze.pk)], "foot_clean": True, "thickness_fits": True}
    made = sent(client, "api_glaze_checks", pot.pk, **said)
    assert (made.status_code, made.json()["passed"]) == (201, True)
    assert read(client, "api_glaze_checks", pot.pk)["count"] == 1


def test_flaws_losses_and_another_pot(cast: School) -> None:
    pot, client = a_pot(cast), signed_in(cast.teacher)
    for _retry in range(2):
        sent(signed_in(cast.student), "api_pot_flaws", pot.pk, key="crack", what="a crack")
    flaw = Flaw.objects.get()
    put = client.put(
        reverse("api_flaw_cause", args=[flaw.pk]),
        {"cause": "making"},
        content_type="application/json",
    )
    assert put.json()["cause"] == "making"
    assert read(client, "api_pot_flaws", pot.pk)["count"] == 1
    assert sent(client, "api_pot_losses", pot.pk, kind="broken").status_code == 201
    loss = Loss.objects.get()
    put = client.put(
        reverse("api_loss_cause", args=[loss.pk]),
        {"cause": "kiln"},
        content_type="application/json",
    )
    assert put.json()["cause"] == "kiln"
    for _retry in range(2):
        begun = sent(client, "api_piece_pots", pot.piece_id, key="again")
        assert begun.json()["code"] == f"{pot.code}/2"
    assert sent(client, "api_pot_found", pot.pk).status_code == 409
    assert read(client, "api_pot_losses", pot.pk)["count"] == 1
    assert Pot.objects.count() == 2


def test_a_lost_pot_is_found(cast: School) -> None:
    pot = a_pot(cast)
    lose_pots(pots=[pot], kind="missing", by=cast.teacher, at=NOW)
    answer = sent(signed_in(cast.technician), "api_pot_found", pot.pk)
    assert answer.json()["lost"] == ""


def test_photos_are_sent_as_files(cast: School) -> None:
    pot, client = a_pot(cast), signed_in(cast.student)
    address = reverse("api_pot_photos", args=[pot.pk])
    made = client.post(address, {"photo": photo(3), "occasion": "building"})
    assert made.status_code == 201, made.json()
    twin = client.post(address, {"photo": photo(3), "occasion": "building"})
    assert "here already" in twin.json()["detail"]
    assert read(client, "api_pot_photos", pot.pk)["count"] == 1


def test_places_are_kept_by_staff_and_read_by_all(cast: School) -> None:
    client = signed_in(cast.technician)
    for _retry in range(2):
        made = sent(client, "api_places", name="Cart 2", kind="cart", key="cart")
        assert made.status_code == 201
    place = Place.objects.get()
    address = reverse("api_place", args=[place.pk])
    changed = client.patch(
        address, {"name": "Cart two", "retired": True}, content_type="application/json"
    )
    assert changed.json() == {
        "id": str(place.pk),
        "name": "Cart two",
        "kind": "cart",
        "retired": True,
    }
    client.patch(address, {"retired": False}, content_type="application/json")
    assert not read(signed_in(cast.student), "api_place", place.pk)["retired"]
    assert read(signed_in(cast.student), "api_places")["count"] == 1
    assert sent(signed_in(cast.student), "api_places", name="Mine").status_code == 403


def test_a_fired_pot_by_hand_says_why(cast: School) -> None:
    pot = bisqued(a_pot(cast), cast.teacher)
    client, ids = signed_in(cast.teacher), [str(pot.pk)]
    sent(client, "api_pots_stage", pots=ids, stage="glazed")
    answer = sent(client, "api_pots_stage", pots=ids, stage="glaze_fired")
    assert answer.json()["errors"][0]["field"] == "reason"
