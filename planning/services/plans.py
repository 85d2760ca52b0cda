"""A plan's way: draft, sent, approved or sent back. What was sent never changes."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from planning.geometry.plan import COMPUTATION_VERSION
from planning.models import Choice, Piece, PlanState, PlanVersion
from planning.plans.answer import Answer, plan_answer
from planning.plans.inputs import Drawn, Line, drawn_as_json, drawn_from_json, with_terms
from studio.errors import Conflict, Problem, Refused
from studio.people.audit import record
from studio.people.models import User

from .drawings import locked_piece
from .ideas import ask_to_compare


def save_draft(*, piece: Piece, drawn: Drawn, at: datetime) -> PlanVersion:
    """Keep what has been entered so far, finished or not; after a decision as a new version."""
    with transaction.atomic():
        locked_piece(piece)
        if not Choice.objects.current().filter(piece=piece).exists():
            raise Refused(_("Choose a design first; the plan is of the chosen one."))
        waiting = PlanVersion.objects.waiting().filter(piece=piece)
        if waiting.exists():
            raise Conflict(_("Your plan is with the teacher. Take it back before you change it."))
        draft = PlanVersion.objects.filter(piece=piece, state=PlanState.DRAFT).first()
        if draft is None:
            last = piece.plans.aggregate(last=Max("number"))["last"] or 0
            draft = PlanVersion(piece=piece, number=last + 1)
        draft.inputs = drawn_as_json(drawn)
        draft.changed_at = at
        draft.save()
    return draft


def send_plan(*, piece: Piece, by: User, at: datetime) -> PlanVersion:
    """Compute the draft and hand it to the teacher, with its figures, for good."""
    draft = PlanVersion.objects.filter(piece=piece, state=PlanState.DRAFT).first()
    if draft is None:
        raise Conflict(_("There is no draft to send. It may have been sent a moment ago."))
    drawn = drawn_from_json(draft.inputs)
    check_is_measured(drawn)
    # Outside the transaction: it takes milliseconds, and nothing else must wait for it.
    answer = plan_answer(drawn, piece.assignment, piece.studio)
    with transaction.atomic():
        locked_piece(piece)
        kept = PlanVersion.objects.filter(pk=draft.pk, state=PlanState.DRAFT).first()
        if kept is None or kept.inputs != draft.inputs:
            raise Conflict(_("The plan changed meanwhile, perhaps in another window. Look again."))
        kept.inputs = with_terms(drawn, piece.assignment)
        _keep_figures(kept, answer)
        kept.state = PlanState.SENT
        kept.sent_at = at
        kept.save()
        _record(kept, by, "plan sent", PlanState.DRAFT)
        ask_to_compare(piece=piece, by=by)
    return kept


def take_back(*, plan: PlanVersion, by: User, at: datetime) -> PlanVersion:
    """The student takes a sent plan back before the teacher has decided."""
    if plan.piece.student_id != by.pk:
        raise PermissionDenied
    return _decide(plan, by, at, PlanState.TAKEN_BACK, note="")


def approve(*, plan: PlanVersion, by: User, at: datetime, note: str = "") -> PlanVersion:
    """The plan holds from now on; an earlier approved one holds no longer."""
    _check_teaches(plan, by)
    return _decide(plan, by, at, PlanState.APPROVED, note)


def send_back(*, plan: PlanVersion, by: User, at: datetime, note: str) -> PlanVersion:
    """Back to the student, with what to change."""
    _check_teaches(plan, by)
    if not note.strip():
        raise Refused(_("Write what should change, so that the student can do it."), field="note")
    return _decide(plan, by, at, PlanState.SENT_BACK, note)


def check_is_measured(drawn: Drawn) -> None:
    """Every height line has both half-widths, and both or none of the side drawing's. Raises
    `Refused` at the lines that lack one."""
    if gaps := drawn.gaps:
        raise Refused.all_of(_gap(drawn.lines[place], f"profile.{place}") for place in gaps)


def _gap(line: Line, path: str) -> Problem:
    if line.left_mm is None or line.right_mm is None:
        return Problem(_("Measure left and right here, or empty the height."), path)
    lacking = "front_mm" if line.front_mm is None else "back_mm"
    return Problem(_("Measure front and back here, or neither."), f"{path}.{lacking}")


def _decide(plan: PlanVersion, by: User, at: datetime, state: PlanState, note: str) -> PlanVersion:
    with transaction.atomic():
        locked_piece(plan.piece)
        kept = PlanVersion.objects.select_related("piece__studio", "piece__assignment").get(
            pk=plan.pk
        )
        if kept.state != PlanState.SENT:
            words = {"state": kept.get_state_display()}
            raise Conflict(_("Somebody was faster: this plan is %(state)s already.") % words)
        kept.state, kept.decided_at, kept.decided_by, kept.note = state, at, by, note.strip()
        kept.save(update_fields=["state", "decided_at", "decided_by", "note"])
        _record(kept, by, f"plan {kept.get_state_display()}", PlanState.SENT)
        ask_to_compare(piece=kept.piece, by=by)
    return kept


def _check_teaches(plan: PlanVersion, by: User) -> None:
    if not Piece.objects.taught_by(by).filter(pk=plan.piece_id).exists():
        raise PermissionDenied


def _keep_figures(plan: PlanVersion, answer: Answer) -> None:
    plan.figures = answer
    plan.computation = COMPUTATION_VERSION
    wet, fired = answer["size_mm"]["wet"], answer["size_mm"]["fired"]
    plan.wet_height_mm, plan.wet_front_mm = wet["height"], wet["front"]
    plan.wet_depth_mm, plan.fired_height_mm = wet["depth"], fired["height"]
    plan.pot_wet_g, plan.issue_g = answer["clay_g"]["pot_wet"], answer["clay_g"]["issue"]


def _record(plan: PlanVersion, by: User, action: str, before: str) -> None:
    record(
        studio=plan.piece.studio,
        by=by,
        action=action,
        subject=plan,
        before={"state": before},
        after={"state": str(plan.state), "number": plan.number, "note": plan.note},
    )
