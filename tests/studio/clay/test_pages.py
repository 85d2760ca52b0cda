"""The clay room as people use it."""

import re
from html import unescape
from typing import Any

import pypdfium2
import pytest
from django.test import Client
from django.urls import reverse

from studio.clay.models import Entry, Lot, LotKind, SafetyTalk, TalkRule
from studio.clay.services import return_clay, set_talk_rule
from studio.people.models import MassUnit
from studio.ware.models import Pot
from tests.cast import NOW, TODAY, School, signed_in
from tests.markup import forms_in
from tests.planning.projects import a_body
from tests.studio.clay.room import (
    a_lot,
    a_pot,
    an_approved_plan,
    assignment_of,
    issued,
    left_g,
    the_body,
)


def main_of(response: Any) -> str:
    """The text of a page between its header and its footer, on one line."""
    html: str = response.content.decode()
    return text_in(html[html.index("<main") : html.index("</main>")])


def text_in(html: str) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", html))).replace("\u00a0", " ")


def filled(client: Client, address: str, **values: Any) -> dict[str, Any]:
    """What the page's form would send, with `values` typed into it."""
    html = client.get(address).content.decode()
    form = next(each for each in forms_in(html) if set(values) <= {"which", *each.names})
    return form.filled() | values


@pytest.fixture
def technician(cast: School) -> Client:
    return signed_in(cast.technician)


def test_forty_bags_are_put_down_in_the_unit_on_the_bag(cast: School, technician: Client) -> None:
    body = the_body(cast)
    values = {"body": str(body.pk), "bags": "40", "bag_g": "25 lb", "label": "Note 2207"}
    sent = filled(technician, "/clay-room/delivery/", **values)
    answer = technician.post("/clay-room/delivery/", sent, follow=True)
    lot = Lot.objects.get()
    assert (lot.bag_g, lot.balance_g) == (11_340, 453_600)
    assert "453.6 kg are down as delivered." in answer.content.decode().replace("\u00a0", " ")
    assert "453.6 kg left" in main_of(answer)
    # The second tap.
    technician.post("/clay-room/delivery/", sent)
    assert Lot.objects.count() == 1


def test_a_delivery_without_weights_says_what_to_type(cast: School, technician: Client) -> None:
    body = the_body(cast)
    sent = filled(technician, "/clay-room/delivery/", body=str(body.pk), bags="4")
    answer = technician.post("/clay-room/delivery/", sent)
    assert "One bag weighs: Say what one bag weighs; it is printed on it." in main_of(answer)
    assert not Lot.objects.exists()


def test_the_clay_room_says_what_is_there_and_what_lacks(cast: School, technician: Client) -> None:
    plan = an_approved_plan(cast)
    lot = a_lot(cast, bags=1, bag_g=1000)
    said = main_of(technician.get("/clay-room/"))
    assert "1.00 kg to build with" in said
    assert "Low: approved plans still need 2.11 kg; 1.11 kg lack. Order some, or reclaim." in said
    assert "1 pot waits for 2.11 kg" in said
    assert round(plan.issue_g or 0, -1) == 2110
    assert "Delivered" in said
    a_lot(cast)
    assert "Enough: approved plans still need 2.11 kg." in main_of(technician.get("/clay-room/"))
    assert "bags of 1.00 kg" in main_of(technician.get(f"/clay-room/lots/{lot.pk}/"))


def test_a_bag_is_written_off_and_the_entry_taken_back(cast: School, technician: Client) -> None:
    lot = a_lot(cast)
    address = f"/clay-room/lots/{lot.pk}/write-off/"
    sent = filled(technician, address, reason="burst, wet")
    assert sent["grams"] == ["12.5"]
    assert "12.5 kg written off." in main_of_messages(technician.post(address, sent, follow=True))
    entry = Entry.objects.get(kind="write_off")
    correct = f"/clay-room/ledger/{entry.pk}/correct/"
    answer = technician.post(correct, filled(technician, correct, reason=" "))
    assert "What was wrong: This can't stay empty." in main_of(answer)
    technician.post(correct, filled(technician, correct, reason="was dry inside"))
    assert left_g(lot) == 25_000
    said = main_of(technician.get(f"/clay-room/lots/{lot.pk}/"))
    assert "Taken back: write-off was dry inside" in said
    assert "(taken back since)" in said
    again = technician.post(correct, {"reason": "again"})
    assert "This entry was corrected already." in main_of(again)


def main_of_messages(response: Any) -> str:
    """The text of the whole page, with what was said above it."""
    return text_in(response.content.decode())


def test_a_class_and_a_table_get_a_part_of_a_bag(cast: School) -> None:
    lot = a_lot(cast)
    client = signed_in(cast.teacher)
    sent = filled(client, "/clay-room/issue/", section=str(cast.section.pk), part="half")
    client.post("/clay-room/issue/", sent)
    sent = filled(client, f"/clay-room/issue/?lot={lot.pk}", section="", table="4", grams="2 lb")
    client.post("/clay-room/issue/", sent)
    assert list(Entry.objects.filter(kind="issue").values_list("grams", "table")) == [
        (-907, "4"),
        (-6250, ""),
    ]


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({}, "To the class: Choose a class, or name a table."),
        ({"table": "4"}, "Weight: Type a weight, or choose a part of a bag."),
        ({"table": "4", "grams": "x"}, "can't be read as a measure"),
        ({"table": "4", "section": "own", "grams": "1"}, "One of the two: a class or a table."),
        ({"table": "4", "grams": "30"}, "There are 0.90 kg left of"),
        ({"table": "4", "part": "half"}, "This lot is not in bags. Type a weight."),
    ],
)
def test_an_issue_that_cannot_be_says_what_to_do(
    values: dict[str, str], words: str, cast: School
) -> None:
    lot = a_lot(cast, bags=0, bag_g=None, loose_g=900)
    client = signed_in(cast.teacher)
    typed = {"lot": str(lot.pk)} | values
    if typed.get("section"):
        typed["section"] = str(cast.section.pk)
    assert words in main_of(client.post("/clay-room/issue/", typed))
    assert left_g(lot) == 900


def test_without_clay_the_page_leads_to_the_delivery(cast: School, technician: Client) -> None:
    said = main_of(technician.get("/clay-room/issue/"))
    assert "There is no clay to hand out. Put down what came first." in said


def test_buckets_and_pots_give_clay_back(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    issued(cast, pot, lot, 2000)
    client = signed_in(cast.teacher)
    address = "/clay-room/return/"
    bucket = {"bucket-section": str(cast.section.pk), "bucket-grams": "3.4"}
    sent = filled(client, address, which="bucket", **bucket)
    client.post(address, sent)
    client.post(address, sent)
    assert Lot.objects.get(kind=LotKind.RETURNED).balance_g == 3400
    fit = {"which": "pot", "pot-code": pot.code.lower(), "pot-grams": "0.3"}
    client.post(address, filled(client, address, **fit))
    assert left_g(lot) == 23_300
    dry = fit | {"pot-fit": "reclaim", "pot-code": f"{pot.code}"}
    client.post(address, filled(client, address, **dry))
    assert Lot.objects.get(kind=LotKind.RETURNED).balance_g == 3700
    for typed, words in (
        ({"pot-code": "ZZ-99"}, "No pot of yours has this code."),
        ({"pot-code": f"{pot.code}/2"}, "No pot of yours has this code."),
        ({"pot-grams": "5"}, "has 1.40 kg out of"),
    ):
        answer = client.post(address, filled(client, address, **(fit | typed)))
        assert words in main_of(answer)
    fresh = a_pot(cast, "Another pot")
    answer = client.post(address, filled(client, address, **(fit | {"pot-code": fresh.code})))
    assert f"{fresh.code} has got no clay yet" in main_of(answer)


def test_returned_clay_is_reclaimed_with_both_weights(cast: School, technician: Client) -> None:
    bought = a_lot(cast)
    address = "/clay-room/return/"
    bucket = {"which": "bucket", "bucket-section": str(cast.section.pk), "bucket-grams": "6"}
    technician.post(address, filled(technician, address, **bucket))
    lot = Lot.objects.get(kind=LotKind.RETURNED)
    reclaim = f"/clay-room/lots/{lot.pk}/reclaim/"
    assert "Plaster never goes into reclaim" in main_of(technician.get(reclaim))
    answer = technician.post(reclaim, filled(technician, reclaim, taken_g="6", ready_g="12"))
    assert "Ready to use: That is more than the clay and the water can weigh." in main_of(answer)
    technician.post(reclaim, filled(technician, reclaim, taken_g="6", ready_g="5.5"))
    assert Lot.objects.get(kind=LotKind.RECLAIMED).balance_g == 5500
    wrong = technician.get(f"/clay-room/lots/{bought.pk}/reclaim/")
    assert wrong.status_code == 422
    assert "Only clay that came back is reclaimed." in wrong.content.decode()


@pytest.fixture
def pot(cast: School) -> Pot:
    return a_pot(cast)


def list_of(pot: Pot, more: str = "") -> str:
    return f"/clay-room/issue-list/{pot.piece.assignment_id}/{more}"


def row(pot: Pot, name: str) -> str:
    return f"row-{pot.piece_id.hex}-{name}"


def test_the_list_of_a_class_is_handed_out_in_one_post(cast: School, pot: Pot) -> None:
    lot = a_lot(cast)
    client = signed_in(cast.teacher)
    said = main_of(client.get(list_of(pot)))
    assert "2.11 kg about 1.9 to 2.3 kg" in said
    assert "No approved plan yet" in said
    sent = filled(client, list_of(pot), **{row(pot, "tick"): "on", row(pot, "part"): ""})
    assert sent[row(pot, "grams")] == ["2.11"]
    answer = client.post(list_of(pot), sent, follow=True)
    assert "2.11 kg handed out to 1 pot." in main_of_messages(answer)
    client.post(list_of(pot), sent)
    entry = Entry.objects.get(kind="issue")
    assert entry.grams == -round(pot.plan.issue_g or 0)
    assert "has 2.11 kg (all of it)" in main_of(client.get(list_of(pot)))
    assert left_g(lot) == 25_000 + entry.grams


def test_a_row_may_be_a_part_of_a_bag(cast: School, pot: Pot) -> None:
    lot = a_lot(cast)
    client = signed_in(cast.teacher)
    values = {row(pot, "tick"): "on", row(pot, "part"): "quarter", row(pot, "grams"): ""}
    client.post(list_of(pot), filled(client, list_of(pot), **values))
    assert left_g(lot) == 25_000 - 3125


def test_a_pot_that_got_more_than_its_plan_asks_leads_to_its_entries(
    cast: School, pot: Pot
) -> None:
    """A slip of the decimal point, 21 kg for 2.1 kg, is asked about first."""
    lot = a_lot(cast)
    client = signed_in(cast.teacher)
    assert "More than the plan asks." not in main_of(client.get(list_of(pot)))
    values = {row(pot, "tick"): "on", row(pot, "part"): "", row(pot, "grams"): "21.1"}
    typed = filled(client, list_of(pot), **values)
    asked = main_of(client.post(list_of(pot), typed))
    assert "has 21.1 kg, more than twice what its plan asks, 2.11 kg." in asked
    assert "So much is meant" in asked
    assert left_g(lot) == 25_000
    answer = client.post(list_of(pot), typed | {row(pot, "so_much"): "on"}, follow=True)
    assert left_g(lot) == 25_000 - 21_100
    assert "More than the plan asks." in main_of(answer)
    assert f'href="{reverse("ledger")}?code={pot.code}"' in answer.content.decode()


def test_a_refused_row_keeps_all_that_was_typed(cast: School, pot: Pot) -> None:
    a_lot(cast)
    client = signed_in(cast.teacher)
    set_talk_rule(studio=cast.studio, talk_first=True, by=cast.head)
    classmate = assignment_of(pot).pieces.get(student=cast.classmate)
    other = f"row-{classmate.pk.hex}"
    lot = str(Lot.objects.get().pk)
    values = {
        "lot": lot,
        row(pot, "tick"): "on",
        row(pot, "grams"): "1.9",
        f"{other}-tick": "on",
        f"{other}-grams": "1.75",
    }
    answer = client.post(list_of(pot), values)
    said = main_of(answer)
    assert "2 rows need another look" in said
    assert "Nothing was handed out. What you typed is still here" in said
    assert "Ode A. has no safety talk on record." in said
    assert "Bram V. has no approved plan yet, and clay is weighed by the plan." in said
    form = next(each for each in forms_in(answer.content.decode()) if "lot" in each.names)
    typed = {key: [value] for key, value in values.items()}
    assert form.filled() | typed == form.filled()
    assert not Entry.objects.filter(kind="issue").exists()


def test_a_row_that_cannot_be_read_and_one_that_is_not_ticked(cast: School, pot: Pot) -> None:
    a_lot(cast, bags=1, bag_g=1500)
    client = signed_in(cast.teacher)
    values = {"lot": str(Lot.objects.get().pk), row(pot, "grams"): "much"}
    answer = client.post(list_of(pot), values)
    assert "Tick whoever gets clay now" in main_of(answer)
    answer = client.post(list_of(pot), values | {row(pot, "tick"): "on"})
    assert "can't be read as a measure" in main_of(answer)
    answer = client.post(list_of(pot), values | {row(pot, "tick"): "on", row(pot, "grams"): "2"})
    assert "There are 1.50 kg left of Grogged stoneware Note 2207" in main_of(answer)
    answer = client.post(list_of(pot), {row(pot, "tick"): "on", row(pot, "part"): "half"})
    assert "Out of" in main_of(answer)
    assert left_g(Lot.objects.get()) == 1500


def test_everybody_who_is_here_and_waits_is_ticked(cast: School, pot: Pot) -> None:
    a_lot(cast)
    html = signed_in(cast.teacher).get(list_of(pot, "?tick=here")).content.decode()
    [form] = [each for each in forms_in(html) if "lot" in each.names]
    assert form.filled()[row(pot, "tick")] == ["on"]
    # The classmate has no plan, so there is nothing to tick.
    assert sum(name.endswith("-tick") for name in form.names) == 1


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_list_is_printed_on_the_studios_paper(paper: str, cast: School, pot: Pot) -> None:
    cast.studio.paper = paper
    cast.studio.mass_unit = MassUnit.LB
    cast.studio.save()
    a_lot(cast, bag_g=11_340)
    a_lot(cast, bags=0, bag_g=None, loose_g=900, label="")
    answer = signed_in(cast.technician).get(list_of(pot, "pdf/"))
    assert answer["Content-Type"] == "application/pdf"
    document = pypdfium2.PdfDocument(answer.content)
    text = document[0].get_textpage().get_text_range().replace("\u00a0", " ")
    width_pt = document[0].get_width()
    document.close()
    assert width_pt == pytest.approx({"a4": 595.28, "letter": 612}[paper], abs=0.1)
    for words in (
        pot.code,
        "Ode A.",
        "4.65 lb",
        "¼",
        "1 pot",
        "in bags of 25.0 lb",
        "Enough Grogged stoneware: 4.65 lb are needed",
        "no approved plan yet",
    ):
        assert words in text


def test_the_print_says_what_lacks(cast: School, pot: Pot) -> None:
    answer = signed_in(cast.technician).get(list_of(pot, "pdf/"))
    document = pypdfium2.PdfDocument(answer.content)
    text = document[0].get_textpage().get_text_range().replace("\u00a0", " ")
    document.close()
    assert "There is no Grogged stoneware to hand out." in text
    assert "Not enough Grogged stoneware: 2.11 kg are needed, 0.00 kg are there" in text


def test_the_print_counts_what_is_there_where_nobody_waits(cast: School, pot: Pot) -> None:
    a_lot(cast)
    client = signed_in(cast.teacher)
    values = {row(pot, "tick"): "on", row(pot, "part"): ""}
    client.post(list_of(pot), filled(client, list_of(pot), **values))
    document = pypdfium2.PdfDocument(client.get(list_of(pot, "pdf/")).content)
    text = document[0].get_textpage().get_text_range().replace("\u00a0", " ")
    document.close()
    assert "22.9 kg of Grogged stoneware are there." in text
    assert "are needed" not in text


def test_talks_are_recorded_for_those_who_were_there(cast: School) -> None:
    client = signed_in(cast.teacher)
    address = f"/clay-room/talks/{cast.section.pk}/"
    assert "2 students have none on record." in main_of(client.get(address))
    sent = filled(client, address, on=TODAY.isoformat(), students=[str(cast.student.pk)])
    answer = client.post(address, sent, follow=True)
    assert "Recorded for 1 student." in main_of_messages(answer)
    assert SafetyTalk.objects.get().student == cast.student
    answer = client.post(address, {"on": TODAY.isoformat()})
    assert "Who was there: Tick whoever heard the talk." in main_of(answer)


def test_a_head_sets_the_rule_on_the_page(cast: School) -> None:
    client = signed_in(cast.head)
    answer = client.post("/clay-room/talks/", {"talk_first": "yes"}, follow=True)
    assert "only when its student&#x27;s safety talk is recorded" in answer.content.decode()
    assert TalkRule.objects.get().talk_first
    answer = client.post("/clay-room/talks/", {"talk_first": "no"}, follow=True)
    assert "Clay for pots now goes out without a safety talk" in answer.content.decode()


def test_the_ledger_is_read_by_body_class_and_pot_in_pages(cast: School, pot: Pot) -> None:
    lot = a_lot(cast)
    for _time in range(51):
        issued(cast, pot, lot, 10)
    client = signed_in(cast.teacher)
    said = main_of(client.get("/clay-room/ledger/"))
    assert "Page 1 of 2" in said
    assert "Older" in said
    query = f"?body={lot.body_id}&section={cast.section.pk}&code={pot.code}"
    answer = client.get(f"/clay-room/ledger/{query}")
    assert f"code={pot.code}&amp;page=2" in answer.content.decode()
    assert "Page 2 of 2" in main_of(client.get(f"/clay-room/ledger/{query}&page=2"))
    other = a_body(cast.teacher, name="White earthenware")
    said = main_of(client.get(f"/clay-room/ledger/?body={other.pk}"))
    assert "Nothing moved that fits." in said


def test_a_student_reads_on_their_piece_what_clay_their_pot_got(cast: School, pot: Pot) -> None:
    lot = a_lot(cast)
    address = f"/pieces/{pot.piece_id}/"
    assert "handed out" not in main_of(signed_in(cast.student).get(address))
    issued(cast, pot, lot, 2200)
    return_clay(pot=pot, lot=lot, grams=150, by=cast.teacher, at=NOW)
    said = main_of(signed_in(cast.student).get(address))
    assert "Clay: 2.20 kg handed out. 0.15 kg came back. The plan asks for about 2.11 kg." in said
