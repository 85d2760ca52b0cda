"""At the scales: several lumps in a row, by code or by QR, with a running total and undo."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from studio.clay.models import Entry, Lot
from studio.clay.selectors.scales import piece_at_scales
from studio.clay.services import IssueRow, issue_class_list
from studio.ware.models import Pot
from tests.cast import NOW, School, signed_in
from tests.markup import forms_in
from tests.studio.clay.room import a_lot, a_pot, an_approved_plan, left_g
from tests.studio.clay.test_pages import filled, main_of, main_of_messages
from tests.studio.ware.services.test_races import at_once

pytestmark = pytest.mark.both_databases

SCALES = "/clay-room/scales/"


@pytest.fixture
def teacher(cast: School) -> Client:
    return signed_in(cast.teacher)


def handed(client: Client, address: str = SCALES, **values: Any) -> Any:
    return client.post(SCALES, filled(client, address, **{"part": ""} | values), follow=True)


def undo_form(client: Client) -> tuple[str, dict[str, Any]]:
    """Where the first button "Undo" sends to, and what."""
    html = client.get(SCALES).content.decode()
    [first, *_rest] = [each for each in forms_in(html) if each.action.endswith("/undo/")]
    return first.action, first.filled()


def test_two_lumps_in_a_row_are_summed_up(cast: School, teacher: Client) -> None:
    one, other = a_pot(cast), an_approved_plan(cast, "Another").piece
    lot = a_lot(cast)
    answer = handed(teacher, code=one.code.lower().replace("-", ""), grams="2.4")
    assert f"2.40 kg to {one.code}, Ode A." in main_of_messages(answer)
    # The second piece has no pot yet; its clay begins it.
    answer = handed(teacher, code=other.code, grams="1.6")
    said = main_of(answer)
    assert "4.00 kg in 2 lumps" in said
    assert (left_g(lot), Pot.objects.filter(piece=other).count()) == (21_000, 1)


def test_a_double_tap_counts_once(cast: School, teacher: Client) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    sent = filled(teacher, SCALES, code=pot.code, grams="2", part="")
    for _tap in range(2):
        teacher.post(SCALES, sent)
    assert left_g(lot) == 23_000


def test_undo_takes_back_by_a_line_of_its_own_and_once(cast: School, teacher: Client) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    handed(teacher, code=pot.code, grams="2")
    action, sent = undo_form(teacher)
    answer = teacher.post(action, sent, follow=True)
    assert f"2.00 kg of {pot.code} are back in the lot." in main_of_messages(answer)
    assert "2.00 kg undone" in main_of(answer)
    assert "0 kg in 0 lumps" in main_of(answer)
    teacher.post(action, sent)
    assert left_g(lot) == 25_000
    assert list(Entry.objects.order_by("at").values_list("kind", "grams")) == [
        ("delivery", 25_000),
        ("issue", -2000),
        ("correction", 2000),
    ]


def test_a_scanned_code_says_who_it_is_and_what_is_still_to_come(
    cast: School, teacher: Client
) -> None:
    """A scanner types the address of the label and sends the form by itself."""
    pot, lot = a_pot(cast), a_lot(cast)
    address = f"https://studio.example{reverse('pot', args=[pot.pk])}"
    answer = handed(teacher, code=address)
    asked = answer.request["PATH_INFO"] + "?" + answer.request["QUERY_STRING"]
    assert asked == f"{SCALES}?code={pot.code}&lot={lot.pk}"
    said = main_of(answer)
    assert f"{pot.code} Ode A., Period 3 plan: 2.11 kg" in said
    assert 'value="2.11"' in answer.content.decode()
    assert not Entry.objects.filter(kind="issue").exists()
    handed(teacher, asked)
    assert left_g(lot) == 25_000 - 2110


def test_a_code_leads_to_pieces_of_ones_own_classes_only(cast: School) -> None:
    piece = an_approved_plan(cast).piece
    by_address = f"/pieces/{piece.pk}/"
    for typed in (piece.code, piece.code.lower(), by_address):
        assert piece_at_scales(cast.technician, typed) == piece
        for person in (cast.other_teacher, cast.elsewhere.head, cast.nobody):
            assert piece_at_scales(person, typed) is None
    assert piece_at_scales(cast.teacher, "") is None
    assert piece_at_scales(cast.teacher, "a\x00b") is None


def test_what_cant_be_handed_out_is_said_at_its_field(cast: School, teacher: Client) -> None:
    pot = a_pot(cast)
    a_lot(cast, bags=1, bag_g=2000)
    assert "Code: No piece of yours has this code." in main_of(
        handed(teacher, code="X0-0X", grams="1")
    )
    assert "Weight: There are 2.00 kg left" in main_of(handed(teacher, code=pot.code, grams="3"))
    Pot.objects.filter(pk=pot.pk).update(stage="bone_dry")
    said = main_of(handed(teacher, code=pot.code, grams="1"))
    assert f"Code: {pot.code} is bone dry and takes no more clay." in said
    assert not Entry.objects.filter(kind="issue").exists()


def test_ten_times_the_plan_is_asked_about_first(cast: School, teacher: Client) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    answer = handed(teacher, code=pot.code, grams="24")
    assert "more than twice what its plan asks" in main_of(answer)
    assert left_g(lot) == 25_000
    form = next(
        each for each in forms_in(answer.content.decode()) if {"code", "so_much"} <= set(each.names)
    )
    teacher.post(SCALES, form.filled() | {"so_much": "on", "part": ""})
    assert left_g(lot) == 1000


def test_an_empty_clay_room_says_so(teacher: Client) -> None:
    assert "There is no clay to hand out." in main_of(teacher.get(SCALES))


@pytest.mark.django_db(transaction=True)
def test_of_two_who_hand_out_the_last_clay_one_gets_it_and_the_other_a_sentence(
    cast: School,
) -> None:
    pots = [a_pot(cast), a_pot(cast, "Another")]
    lot = a_lot(cast, bags=1, bag_g=2300)
    said = at_once(
        *(
            lambda pot=pot, by=by: issue_class_list(
                assignment=pot.piece.assignment,
                rows=[IssueRow(pot.piece, lot, 2300)],
                by=by,
                at=NOW,
            )
            for pot, by in zip(pots, (cast.teacher, cast.technician), strict=True)
        )
    )
    assert said == [
        "",
        "Nothing is left of Grogged stoneware Note 2207. Take it from another lot.",
    ]
    assert Lot.objects.get().balance_g == 0
