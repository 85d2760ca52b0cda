"""A plan is drafted, sent, decided; what was sent stays."""

from dataclasses import replace
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction

from planning.geometry.plan import COMPUTATION_VERSION
from planning.models import PlanState, PlanVersion
from planning.plans.answer import plan_answer
from planning.plans.inputs import Line
from planning.services.plans import approve, save_draft, send_back, send_plan, take_back
from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry
from tests.cast import NOW, School
from tests.planning.work import LINES, a_piece, choose, drawn_plan, send

pytestmark = pytest.mark.both_databases


def test_a_plan_needs_a_chosen_design(cast: School) -> None:
    piece = a_piece(cast)
    with pytest.raises(Refused, match="Choose a design first"):
        save_draft(piece=piece, drawn=drawn_plan(), at=NOW)


def test_a_draft_keeps_lines_that_are_not_measured_yet(cast: School) -> None:
    piece = a_piece(cast)
    choose(cast, piece)
    unfinished = (*LINES[:2], Line(100))
    draft = save_draft(piece=piece, drawn=drawn_plan(unfinished), at=NOW)
    assert draft.inputs["lines"][2] == [100, None, None]
    with pytest.raises(Refused, match="Measure left and right here") as refusal:
        send_plan(piece=piece, by=cast.student, at=NOW)
    assert [each.field for each in refusal.value.problems] == ["profile.2"]
    assert PlanVersion.objects.get().state == PlanState.DRAFT


def test_a_side_drawing_has_front_and_back_or_neither(cast: School) -> None:
    piece = a_piece(cast)
    choose(cast, piece)
    half = (*LINES[:2], replace(LINES[2], front_mm=90))
    save_draft(piece=piece, drawn=drawn_plan(half), at=NOW)
    with pytest.raises(Refused, match="Measure front and back here, or neither") as refusal:
        send_plan(piece=piece, by=cast.student, at=NOW)
    assert [each.field for each in refusal.value.problems] == ["profile.2.back_mm"]


def test_a_sent_plan_keeps_inputs_figures_and_the_version_of_the_computation(cast: School) -> None:
    plan = send(cast, a_piece(cast))
    assert plan.state == PlanState.SENT
    assert plan.computation == COMPUTATION_VERSION
    assert plan.inputs["body"]["name"] == "Grogged stoneware"
    assert plan.inputs["profile"][0] == {"height_mm": 0, "left_mm": 50, "right_mm": 52}
    assert plan.figures is not None
    assert plan.wet_height_mm == pytest.approx(200)
    assert plan.wet_front_mm == plan.figures["size_mm"]["wet"]["front"]
    assert plan.pot_wet_g is not None
    assert plan.issue_g == pytest.approx(plan.pot_wet_g * 1.2)


def test_a_form_that_cannot_be_computed_is_refused_at_its_line_and_stays_a_draft(
    cast: School,
) -> None:
    piece = a_piece(cast)
    choose(cast, piece)
    save_draft(
        piece=piece, drawn=drawn_plan((Line(0, 50, 50), Line(80, 0, 0), Line(90, 9, 9))), at=NOW
    )
    with pytest.raises(Refused, match="crosses the axis") as refusal:
        send_plan(piece=piece, by=cast.student, at=NOW)
    assert refusal.value.problems[0].field.startswith("profile.1")
    assert PlanVersion.objects.get().state == PlanState.DRAFT


def test_nothing_is_drafted_while_a_plan_waits(cast: School) -> None:
    piece = a_piece(cast)
    send(cast, piece)
    with pytest.raises(Conflict, match="Take it back before you change it"):
        save_draft(piece=piece, drawn=drawn_plan(), at=NOW)


def test_sending_twice_sends_once(cast: School) -> None:
    piece = a_piece(cast)
    send(cast, piece)
    with pytest.raises(Conflict, match="no draft to send"):
        send_plan(piece=piece, by=cast.student, at=NOW)
    assert PlanVersion.objects.count() == 1


def test_a_plan_taken_back_makes_room_for_the_next_version(cast: School) -> None:
    piece = a_piece(cast)
    first = send(cast, piece)
    with pytest.raises(PermissionDenied):
        take_back(plan=first, by=cast.classmate, at=NOW)
    take_back(plan=first, by=cast.student, at=NOW)
    assert save_draft(piece=piece, drawn=drawn_plan(), at=NOW).number == 2


def test_two_teachers_decide_and_the_second_reads_a_sentence(cast: School) -> None:
    plan = send(cast, a_piece(cast))
    approve(plan=plan, by=cast.teacher, at=NOW)
    with pytest.raises(Conflict, match="Somebody was faster: this plan is approved already"):
        send_back(plan=plan, by=cast.head, at=NOW, note="Wider foot")
    plan.refresh_from_db()
    assert (plan.state, plan.decided_by) == (PlanState.APPROVED, cast.teacher)


def test_sending_back_needs_a_note(cast: School) -> None:
    plan = send(cast, a_piece(cast))
    with pytest.raises(Refused, match="Write what should change"):
        send_back(plan=plan, by=cast.teacher, at=NOW, note="  ")
    back = send_back(plan=plan, by=cast.teacher, at=NOW, note="Give it a wider foot.")
    assert (back.state, back.note) == (PlanState.SENT_BACK, "Give it a wider foot.")
    entry = AuditEntry.objects.get(action="plan sent back")
    assert (entry.by, entry.before["state"]) == (cast.teacher, "sent")


@pytest.mark.parametrize("who", ["other_teacher", "technician", "student"])
def test_only_teachers_of_the_class_decide(cast: School, who: str) -> None:
    plan = send(cast, a_piece(cast))
    with pytest.raises(PermissionDenied):
        approve(plan=plan, by=getattr(cast, who), at=NOW)


def test_a_change_after_approval_is_a_new_version_and_the_old_one_holds(cast: School) -> None:
    piece = a_piece(cast)
    first = approve(plan=send(cast, piece), by=cast.teacher, at=NOW)
    save_draft(piece=piece, drawn=drawn_plan(base_mm=12.0), at=NOW)
    second = send_plan(piece=piece, by=cast.student, at=NOW)
    first.refresh_from_db()
    assert (first.state, second.number) == (PlanState.APPROVED, 2)
    assert first.inputs["base_mm"] == 10


def test_the_database_holds_one_open_version_a_piece(cast: School) -> None:
    piece = a_piece(cast)
    send(cast, piece)
    with pytest.raises(IntegrityError), transaction.atomic():
        PlanVersion.objects.create(piece=piece, number=9, inputs={}, changed_at=NOW)


def test_a_draft_that_changes_while_it_is_computed_is_not_sent(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    piece = a_piece(cast)
    choose(cast, piece)
    save_draft(piece=piece, drawn=drawn_plan(), at=NOW)

    def meanwhile(*args: Any) -> Any:
        save_draft(piece=piece, drawn=drawn_plan(base_mm=14.0), at=NOW)
        return plan_answer(*args)

    monkeypatch.setattr("planning.services.plans.plan_answer", meanwhile)
    with pytest.raises(Conflict, match="The plan changed meanwhile"):
        send_plan(piece=piece, by=cast.student, at=NOW)
    assert PlanVersion.objects.get().state == PlanState.DRAFT
