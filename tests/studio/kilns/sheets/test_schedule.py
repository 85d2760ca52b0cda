"""The schedule on the wall: every pot with its code and no family name, what to do and who does it,
in both papers, readable again from the PDF.
"""

from collections.abc import Iterable
from datetime import date, timedelta

import pytest
from django.urls import reverse

from studio.kilns.models import Program, Slot
from studio.kilns.selectors.loads import contents
from studio.kilns.selectors.schedule import week_print
from studio.kilns.services.firing import light
from studio.kilns.services.loads import place_pots, take_out
from studio.kilns.sheets.schedule import schedule_pdf, schedule_sheets
from studio.paper.pages import A4, LETTER, Page, Sheet, Words
from studio.people.models import Section
from tests.cast import NOW, TODAY, School, signed_in
from tests.studio.kilns.kiln_room import a_kiln, a_slot
from tests.studio.kilns.loading import many_dry
from tests.studio.kilns.services.test_firing import EVENING, loaded
from tests.studio.paper.measuring import Print

pytestmark = pytest.mark.django_db
WEEK = date(2026, 3, 16)


def address(slot: Slot) -> str:
    return f"https://studio.example/kilns/slots/{slot.pk}/log/"


def printed(cast: School, page: Page, monday: date = WEEK) -> str:
    week = week_print(cast.studio, monday, printed_on=TODAY, address=address)
    read = Print(schedule_pdf(week, page))
    return " ".join(" ".join(read.text(n) for n in range(len(read.texts))).split())


@pytest.mark.parametrize("page", [A4, LETTER])
def test_it_says_all_that_somebody_needs_who_has_never_seen_the_program(
    page: Page, cast: School
) -> None:
    kiln = a_kiln(cast.technician, shelf_width_mm=400, shelf_depth_mm=400)
    _slot, pots = loaded(cast, 8, kiln=kiln)
    said = printed(cast, page)
    for pot in pots:
        assert pot.code in said
        # A code on a narrow pot of the map stands in two lines.
        assert said.count(f"{pot.code.partition('-')[0]}-") >= 2
    assert "Pupil00 O." in said
    assert "Oakes" not in said
    for words in (
        "Week from Monday 16 March 2026 to Sunday 22 March 2026",
        "Tall kiln, Thursday 19 March 2026",
        "Light it Thursday 19 March, 20:00 a member of staff",
        "Heating ends: should be off Friday 20 March,",
        "Joost Bakker sees at the kiln that it is off",
        "Unload: expected to be cool Saturday 21 March, 10:45 to 15:45",
        "staff, once it reads below 60 °C, never before",
        "Light it only when every box is ticked",
        "Every pot feels dry",
        "Witness cones for cone 06",
        "Never open it hot",
        "local codes",
        "50 °C/h 85 °C 6 h",
        "By the table it reaches cone 06. The witness cone decides.",
        "Layer 1, lowest",
        "A photo is taken of those that have none yet:",
        "Log: write down what you read",
    ):
        assert words.replace("\xa0", " ") in said.replace("\xa0", " "), words


@pytest.mark.parametrize("page", [A4, LETTER])
def test_a_week_of_four_firings_is_a_page_and_one_for_each(page: Page, cast: School) -> None:
    a_kiln(cast.technician)
    for day in range(0, 7, 2):
        a_slot(cast.technician, on=WEEK + timedelta(days=day))
    week = week_print(cast.studio, WEEK, printed_on=TODAY, address=address)
    assert len(week.firings) == 4
    assert len(schedule_sheets(week, page)) == 1 + 4


def test_a_glaze_firing_has_checks_of_its_own(cast: School) -> None:
    a_kiln(cast.technician)
    slot = a_slot(cast.technician)
    glaze = slot.program.__class__.objects.filter(studio=cast.studio, firing="glaze").first()
    assert glaze is not None
    Slot.objects.filter(pk=slot.pk).update(program=glaze, note="Test tiles in front")
    said = printed(cast, A4)
    assert "every foot is clean, and no pot touches another" in said
    assert "Test tiles in front" in said
    assert "Nothing is packed yet." in said


def test_a_week_without_a_firing_is_one_page_that_says_so(cast: School) -> None:
    week = week_print(cast.studio, WEEK, printed_on=TODAY, address=address)
    assert len(schedule_sheets(week, A4)) == 1
    assert "No firing is planned in this week." in printed(cast, A4)


def test_a_firing_of_the_week_before_stands_in_the_overview_only(cast: School) -> None:
    """Lit on Sunday evening: it is shut off and unloaded in the week that is printed."""
    a_slot(cast.technician, on=date(2026, 3, 15))
    said = printed(cast, A4)
    assert "Sunday 15 March, 20:00" in said
    assert "Check before lighting" not in said


def test_a_firing_that_was_unloaded_before_the_week_is_not_in_it(cast: School) -> None:
    slot = a_slot(cast.technician, on=date(2026, 3, 15))
    early = {f"{name}_at": slot.starts_at for name in ("lit", "off", "unloaded")}
    people = {f"{name}_by": cast.technician for name in ("lit", "off", "unloaded")}
    Slot.objects.filter(pk=slot.pk).update(**early, **people)
    assert "Sunday 15 March" not in printed(cast, A4)
    assert "Sunday 15 March 2026" in printed(cast, A4, date(2026, 3, 9))


def test_what_was_done_stands_where_it_was_to_be_filled_in(cast: School) -> None:
    slot, _pots = loaded(cast, 2)
    light(slot=slot, by=cast.teacher, at=EVENING, part_full_reason="The class ends")
    said = printed(cast, A4)
    assert "Thursday 19 March, 20:30, Tomas Lindqvist" in said
    assert "Fired part full because: The class ends" in said
    assert "A photo is taken" not in said


def words_on(sheets: Iterable[Sheet]) -> list[Words]:
    return [mark for sheet in sheets for mark in sheet.marks if isinstance(mark, Words)]


@pytest.mark.parametrize("page", [A4, LETTER])
def test_a_shelf_of_many_pots_carries_on_onto_a_second_page_with_all_of_them(
    page: Page, cast: School
) -> None:
    kiln = a_kiln(cast.technician, shelf_width_mm=900, shelf_depth_mm=900)
    slot = a_slot(cast.technician, kiln=kiln)
    pots = many_dry(cast, 44, sizes=((90, 90, 100),))
    place_pots(slot=slot, pots=pots, by=cast.technician, at=NOW)
    week = week_print(cast.studio, WEEK, printed_on=TODAY, address=address)
    sheets = schedule_sheets(week, page)
    assert len(sheets) == 3
    assert "Tall kiln, Thursday 19 March 2026, continued" in {
        each.text for each in words_on(sheets)
    }
    words = words_on(sheets)
    assert {pot.code for pot in pots} <= {each.text for each in words}
    assert all(0 < each.y_mm < page.height_mm - 5 for each in words)


@pytest.mark.parametrize("page", [A4, LETTER])
def test_two_classes_whose_long_names_end_differently_are_told_apart(
    page: Page, cast: School
) -> None:
    begin = "Ceramics for beginners in the afternoon, second half of the year, group of"
    for section, end in ((cast.section, "Tuesday"), (cast.other_section, "Thursday")):
        Section.objects.filter(pk=section.pk).update(code="", title=f"{begin} {end}")
    slot = a_slot(cast.technician, kiln=a_kiln(cast.technician, shelf_width_mm=900))
    ours = many_dry(cast, 9, sizes=((90, 90, 100),))
    theirs = many_dry(
        cast,
        9,
        sizes=((90, 90, 100),),
        section=cast.other_section,
        teacher=cast.other_teacher,
        title="B",
    )
    place_pots(slot=slot, pots=[*ours, *theirs], by=cast.technician, at=NOW)
    week = week_print(cast.studio, WEEK, printed_on=TODAY, address=address)
    words = words_on(schedule_sheets(week, page))
    ends = {each.text.split()[-3] for each in words if each.text.endswith(": 9 pots")}
    assert ends == {"Tuesday:", "Thursday:"}
    assert not any("…" in each.text for each in words)
    assert all(0 < each.y_mm < page.height_mm - 5 for each in words)


def test_an_emptied_shelf_and_a_program_below_all_cones_are_said(cast: School) -> None:
    kiln = a_kiln(cast.technician, shelf_width_mm=300, shelf_depth_mm=300)
    slot, pots = loaded(cast, 7, kiln=kiln)
    layer = {each.pot_id: each.layer for each in contents(slot).placements}
    below = [pot for pot in pots if layer.get(pot.pk) == 0]
    assert 0 < len(below) < len(layer)
    take_out(slot=slot, pots=below, by=cast.technician, at=NOW)
    segments = [{"rate_c_per_h": 100, "target_c": 300, "hold_min": 0}]
    Program.objects.filter(pk=slot.program_id).update(segments=segments)
    said = printed(cast, A4)
    assert "an empty shelf" in said
    assert "It stays below the coolest cone of the table." in said


@pytest.mark.parametrize("asked", ["2026-03-19", "2026-02-31", "9999-12-31", "soon", ""])
def test_the_week_is_asked_for_by_any_of_its_days(asked: str, cast: School) -> None:
    client = signed_in(cast.technician)
    for name in ("kiln_schedule", "kiln_schedule_pdf"):
        answer = client.get(reverse(name), {"week": asked, "paper": "letter"})
        assert answer.status_code == 200
    assert answer["Content-Disposition"].startswith('inline; filename="kiln-schedule-')
    assert ("2026-03-16" in answer["Content-Disposition"]) == (asked == "2026-03-19")
