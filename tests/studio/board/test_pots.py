"""Pots on the pages that cross subjects: shelves, paths, Today, a project's dates."""

import re
from datetime import date, timedelta
from html import unescape

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from planning.models import Milestone, Piece
from studio.board.selectors.shelves import shelved
from studio.kilns.models import Placement
from studio.kilns.services.loads import place_pots
from studio.kilns.services.slots import cancel_slot
from studio.people.services import add_meeting
from studio.ware.models import Pot
from studio.ware.services import cover, lose_pots, put_in_place, say_built
from tests.cast import NOW, TODAY, School, signed_in, today_there
from tests.planning.projects import given
from tests.studio.kilns.kiln_room import a_slot
from tests.studio.kilns.loading import LATER, many_dry
from tests.studio.ware.pots import (
    a_glaze,
    a_place,
    a_pot,
    bisqued,
    check,
    dried,
    glazed,
    move,
)

pytestmark = pytest.mark.django_db


def shown(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return " ".join(unescape(answer.content.decode()).replace("\xa0", " ").split())


def piece_of(pot: Pot) -> Piece:
    return Piece.objects.select_related("student", "assignment").get(pk=pot.piece_id)


def stage_of(pot: Pot, *, teaching: bool = True) -> tuple[str, str, str]:
    """How it stands on the shelf: its pattern, its words, its question."""
    [ware] = shelved([piece_of(pot)], today=TODAY, teaching=teaching).wares
    return ware.stage, ware.stage_label, ware.question


class TestShelves:
    def test_a_pot_is_drawn_in_its_clay_with_place_and_cover_in_words(self, cast: School) -> None:
        pot = a_pot(cast)
        put_in_place(pots=[pot], place=a_place(cast, "Cart 2"), by=cast.teacher, at=NOW)
        cover(pots=[pot], by=cast.teacher, at=NOW)
        assert stage_of(pot) == ("wet", "wet, Cart 2, wrapped since today", "")
        dried(pot, cast.teacher)
        assert stage_of(pot)[:2] == ("bone_dry", "bone dry, Cart 2")

    def test_a_lost_pot_has_its_crack_and_a_missing_one_its_last_place(self, cast: School) -> None:
        broken, missing = a_pot(cast, "One"), a_pot(cast, "Two")
        put_in_place(pots=[missing], place=a_place(cast, "Cart 2"), by=cast.teacher, at=NOW)
        lose_pots(pots=[broken], kind="broken", by=cast.teacher, at=NOW)
        lose_pots(pots=[missing], kind="missing", by=cast.teacher, at=NOW)
        assert stage_of(broken)[:2] == ("broken", "broken")
        assert stage_of(missing)[:2] == ("missing", "missing, last seen: Cart 2")

    def test_on_display_it_looks_as_it_was_fired_last(self, cast: School) -> None:
        plain = move(bisqued(a_pot(cast, "One"), cast.teacher), "on_display", cast.teacher)
        assert stage_of(plain)[:2] == ("bisque_fired", "on display")
        pot = glazed(a_pot(cast, "Two"), cast, a_glaze(cast))
        move(pot, "glaze_fired", cast.teacher, reason="Unloaded")
        move(pot, "on_display", cast.teacher)
        assert stage_of(pot)[:2] == ("glaze_fired", "on display")

    def test_who_says_built_waits_for_the_teacher_until_the_check(self, cast: School) -> None:
        pot = a_pot(cast)
        say_built(pot=pot, by=cast.student, at=NOW)
        assert "the greenware check waits for you" in stage_of(pot)[2]
        assert stage_of(pot, teaching=False)[2] == ""
        check(pot, cast.teacher)
        assert stage_of(pot)[2] == ""

    def test_collected_pots_leave_the_shelf_and_are_counted(self, cast: School) -> None:
        pot = bisqued(a_pot(cast), cast.teacher)
        move(pot, "collected", cast.teacher)
        page = shown(
            signed_in(cast.teacher),
            f"{reverse('class', args=[cast.section.pk])}?of={piece_of(pot).assignment_id}",
        )
        assert "1 pot was collected and has left the shelf" in page
        assert pot.code not in page


class TestLateForBuilding:
    def late(self, pot: Pot, today: date) -> str:
        [ware] = shelved([piece_of(pot)], today=today, teaching=True).wares
        return ware.flag

    def test_the_check_ends_it(self, cast: School) -> None:
        pot = a_pot(cast)
        due = Milestone.objects.get(assignment=piece_of(pot).assignment, kind="built").on
        after = due + timedelta(days=8)
        assert "Late: pot built, by 2 lessons" in self.late(pot, after)
        check(pot, cast.teacher)
        assert self.late(pot, after) == ""


class TestThePath:
    def page(self, pot: Pot, cast: School) -> str:
        return shown(signed_in(cast.student), reverse("piece", args=[pot.piece_id]))

    def test_it_opens_build_dry_fire_one_after_the_other(self, cast: School) -> None:
        pot = a_pot(cast)
        assert "Say how your pot is" in self.page(pot, cast)
        dried(pot, cast.teacher)
        page = self.page(pot, cast)
        assert "Let it dry slowly" in page
        assert "A photo is asked for before the bisque firing" in page
        move(pot, "bisque_fired", cast.teacher, reason="Unloaded")
        assert "Glaze it" in self.page(pot, cast)
        move(pot, "on_display", cast.teacher)
        assert "Fired" in self.page(pot, cast)

    def test_once_it_is_built_nothing_is_chosen_or_planned_again(self, cast: School) -> None:
        pot = a_pot(cast)
        again = ("Choose again", "Change the plan")
        assert all(words in self.page(pot, cast) for words in again)
        dried(pot, cast.teacher)
        assert not any(words in self.page(pot, cast) for words in again)

    def test_a_broken_pot_leads_back_to_building(self, cast: School) -> None:
        pot = a_pot(cast)
        lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=NOW)
        assert "Your pot broke" in self.page(pot, cast)

    def test_before_the_pot_it_says_how_to_get_clay_and_what_to_scratch(self, cast: School) -> None:
        pot = a_pot(cast)
        pot.stage_entries.all().delete()
        pot.delete()
        page = self.page(pot, cast)
        assert "Get your clay" in page
        assert f"scratch {pot.code} with your initials" in page

    def test_staff_see_the_pot_and_begin_one(self, cast: School) -> None:
        pot = a_pot(cast)
        say_built(pot=pot, by=cast.student, at=NOW)
        page = shown(signed_in(cast.teacher), reverse("piece_seen", args=[pot.piece_id]))
        assert "Building has ended: the greenware check waits." in page
        pot.delete()
        page = shown(signed_in(cast.teacher), reverse("piece_seen", args=[pot.piece_id]))
        assert "Begin the pot" in page

    def test_a_pot_in_a_load_says_when_it_is_expected_out(
        self, cast: School, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(timezone, "now", lambda: NOW)
        pot = dried(a_pot(cast), cast.teacher)
        assert "It waits for the bisque firing." in self.page(pot, cast)
        place_pots(slot=a_slot(cast.technician), pots=[pot], by=cast.technician, at=LATER)
        page = self.page(pot, cast)
        assert "Its bisque firing begins on Thursday 19 March, 20:00. It is expected out on" in page
        assert "It waits for the bisque firing." not in page
        seen = shown(signed_in(cast.teacher), reverse("piece_seen", args=[pot.piece_id]))
        assert "It is expected out on" in seen

    def test_it_makes_few_queries_at_whatever_stage_the_pot_is(self, cast: School) -> None:
        pot = a_pot(cast)
        client, address = signed_in(cast.student), reverse("piece", args=[pot.piece_id])
        counted = {}
        for stage in ("wet", "bone_dry", "bisque_fired", "on_display"):
            if stage == "bone_dry":
                dried(pot, cast.teacher)
                place_pots(slot=a_slot(cast.technician), pots=[pot], by=cast.technician, at=LATER)
            elif stage == "bisque_fired":
                Placement.objects.update(done=True)
                move(pot, stage, cast.teacher, reason="Unloaded")
            elif stage != "wet":
                move(pot, stage, cast.teacher, reason="Unloaded")
            with CaptureQueriesContext(connection) as captured:
                shown(client, address)
            counted[stage] = len(captured)
        assert {stage: n for stage, n in counted.items() if n > 15} == {}


class TestKilnDates:
    """A student sees their class's kiln dates, and of other classes nothing."""

    def page(self, cast: School, who: str) -> str:
        [assignment] = given(cast.head, getattr(cast, f"{who}section"))
        page = shown(
            signed_in(getattr(cast, f"{who}student")), reverse("assignment", args=[assignment.pk])
        )
        firings = page.partition("When the kilns fire")[2]
        return " ".join(re.sub("<[^>]*>", " ", firings).split())

    def test_they_are_told_with_how_many_pots_of_the_class_are_in(
        self, cast: School, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(timezone, "now", lambda: NOW)
        slot = a_slot(cast.technician)
        place_pots(slot=slot, pots=many_dry(cast, 2), by=cast.technician, at=LATER)
        cancel_slot(slot=a_slot(cast.technician, on=date(2026, 3, 27)), by=cast.technician, at=NOW)
        page = self.page(cast, "")
        assert "bisque firing 2 pots of your class are in it" in page
        assert page.count("bisque firing") == 1
        assert "bisque firing no pot of your class is in it yet" in self.page(cast, "other_")

    def test_no_firing_yet(self, cast: School) -> None:
        assert "No firing is planned yet." in self.page(cast, "")

    def test_their_pot_leads_there(self, cast: School) -> None:
        piece = piece_of(a_pot(cast))
        page = signed_in(cast.student).get(reverse("piece", args=[piece.pk])).content.decode()
        assert f'href="{reverse("assignment", args=[piece.assignment_id])}"' in page


class TestToday:
    def test_it_says_what_pots_ask_for(self, cast: School) -> None:
        today = today_there()
        if not cast.section.meetings.filter(on=today, cancelled=False).exists():
            add_meeting(section=cast.section, by=cast.head, on=today, today=today)
        wet, dry = a_pot(cast, "One"), dried(a_pot(cast, "Two"), cast.teacher)
        say_built(pot=wet, by=cast.student, at=NOW)
        for by in (cast.teacher, cast.technician):
            page = shown(signed_in(by), reverse("today"))
            assert "1 pot waits for its greenware check" in page
            assert "1 photo is asked before a firing" in page
            assert "To be wrapped at the end of the lesson" in page
            assert wet.code in page
            assert dry.code in page


class TestTheDatesOfAProject:
    def test_they_say_how_many_kept_them_and_who_is_late(self, cast: School) -> None:
        pot = a_pot(cast)
        check(pot, cast.teacher)
        assignment = piece_of(pot).assignment
        Milestone.objects.filter(assignment=assignment).update(on=TODAY)
        address = reverse("assignment", args=[assignment.pk])
        page = shown(signed_in(cast.teacher), address)
        assert "1 of 2 done" in page
        assert "All dates kept" in page
        page = shown(signed_in(cast.student), address)
        assert page.count("· done") == 5

    def test_a_student_is_told_plainly_what_comes(self, cast: School) -> None:
        pot = a_pot(cast)
        page = shown(
            signed_in(cast.student), reverse("assignment", args=[piece_of(pot).assignment_id])
        )
        assert page.count("· done") == 4
