"""Carrying on from the pot as it stands: asked, and answered by a teacher."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from planning.bench.judging import onward, onward_outline
from planning.models import Piece
from planning.plans.wording import said_problems
from planning.rows.carrying_on import Standing
from planning.rows.sentences import RowsRefused
from planning.selectors.lessons import building_lessons
from studio.bench.models import BuildCheck, CarryOn, CarryOnState
from studio.bench.selectors.rows import Going, carry_on_figures, going
from studio.errors import Conflict, Problem, Refused
from studio.people.audit import record
from studio.people.models import User
from studio.room.services.checking import line_of
from studio.ware.models import Pot
from studio.ware.services.locking import locked_pot

from .building import COMPUTATION, pot_being_built, refuse_other_rows
from .rows import add_rows, rows_standing


def ask_to_carry_on(*, check: BuildCheck, laid: int, by: User, at: datetime) -> CarryOn:
    """Ask for new rows from the highest place of a check, which is the open edge, on `laid` rows.
    Rows up to that one stand from now on."""
    pot = check.pot
    way = going(pot)
    if not 1 <= laid <= len(way.rows):
        message = _("Say how many rows stand: from 1 to %(rows)s.") % {"rows": len(way.rows)}
        raise Refused(message, field="laid")
    standing = standing_of(check)
    asked = CarryOn(
        pot=pot,
        check_made=check,
        after_row=laid,
        standing={name: value for name, value in vars(standing).items() if value is not None},
        figures=_figures(way, pot, standing, laid, at),
        computation=COMPUTATION,
        asked_at=at,
        asked_by=by,
    )
    with transaction.atomic():
        held = pot_being_built(pot, by)
        _refuse_stale(held, check, laid)
        refuse_other_rows(held, way)
        add_rows(held, rows_standing(held), laid, by, at)
        asked.save(force_insert=True)
        _record(asked, held, by, "asked to carry on from here")
    return asked


def take_back_asking(*, asked: CarryOn, by: User, at: datetime) -> CarryOn:
    """Whoever asked, or the pot's student, goes on by the rows that there are."""
    with transaction.atomic():
        held = locked_pot(asked.pot, by)
        kept = _still_asked(asked)
        if by.pk not in {kept.asked_by_id, held.piece.student_id}:
            raise PermissionDenied
        return _answered(kept, held, CarryOnState.TAKEN_BACK, note="", by=by, at=at)


def agree_to_carry_on(*, asked: CarryOn, by: User, at: datetime, note: str = "") -> CarryOn:
    """The new rows hold from now on."""
    note = line_of(note, "note", 1000)
    with transaction.atomic():
        held = pot_being_built(asked.pot, by)
        _check_teaches(held, by)
        return _answered(_still_asked(asked), held, CarryOnState.AGREED, note=note, by=by, at=at)


def decline_to_carry_on(*, asked: CarryOn, by: User, at: datetime, note: str) -> CarryOn:
    """The rows stay as they are; the note says what to do instead."""
    note = line_of(note, "note", 1000)
    if not note:
        raise Refused(_("Write what the student should do instead."), field="note")
    with transaction.atomic():
        held = locked_pot(asked.pot, by)
        _check_teaches(held, by)
        return _answered(_still_asked(asked), held, CarryOnState.DECLINED, note=note, by=by, at=at)


def standing_of(check: BuildCheck) -> Standing:
    """The open edge: the highest place that was measured."""
    top = max((each["measured"] for each in check.places), key=lambda each: each["height_mm"])
    return Standing(
        top["height_mm"],
        front_mm=top["front_mm"],
        depth_mm=top["depth_mm"],
        perimeter_mm=top["perimeter_mm"],
    )


def _figures(
    way: Going, pot: Pot, standing: Standing, laid: int, at: datetime
) -> dict[str, object]:
    on = at.astimezone(pot.studio.zone).date()
    try:
        listed = way.from_here(standing, laid, building_lessons(pot.piece, on))
        to_follow = onward(way.made, standing)
    except RowsRefused as refused:
        # What is wrong with the measured edge is said for the whole: the check has its fields.
        problems = said_problems(refused.problems, pot.studio)
        raise Refused.all_of(Problem(each.message) for each in problems) from None
    outline = onward_outline(pot.plan.silhouette, way.made, to_follow)
    return carry_on_figures(listed, outline)


def _refuse_stale(pot: Pot, check: BuildCheck, laid: int) -> None:
    if CarryOn.objects.asked().filter(pot=pot).exists():
        raise Conflict(_("You asked already. Your teacher answers on this page."))
    newest = BuildCheck.objects.standing().filter(pot=pot).last()
    if newest is None or newest.pk != check.pk:
        raise Conflict(_("The pot was measured again since. Carry on from the newest check."))
    if CarryOn.objects.agreed().filter(check_made=check).exists():
        raise Conflict(_("You carry on from this check already. Measure the pot again."))
    if laid < (stand := rows_standing(pot)):
        message = _("%(rows)s rows stand already. Take some back, or measure the pot again.")
        raise Refused(message % {"rows": stand}, field="laid")


def _still_asked(asked: CarryOn) -> CarryOn:
    """As it is now; the pot is held."""
    kept = CarryOn.objects.get(pk=asked.pk)
    if kept.state != CarryOnState.ASKED:
        words = {"state": kept.get_state_display()}
        raise Conflict(_("Somebody was faster: this is %(state)s already.") % words)
    return kept


def _answered(
    kept: CarryOn, pot: Pot, state: CarryOnState, *, note: str, by: User, at: datetime
) -> CarryOn:
    kept.state, kept.decided_at, kept.decided_by, kept.note = state, at, by, note
    kept.save(update_fields=["state", "decided_at", "decided_by", "note"])
    _record(kept, pot, by, f"carrying on {kept.get_state_display()}")
    return kept


def _check_teaches(pot: Pot, by: User) -> None:
    if not Piece.objects.taught_by(by).filter(pk=pot.piece_id).exists():
        raise PermissionDenied


def _record(carry_on: CarryOn, pot: Pot, by: User, action: str) -> None:
    record(
        studio=pot.studio,
        by=by,
        action=action,
        subject=carry_on,
        after={
            "pot": str(pot.pk),
            "state": str(carry_on.state),
            "after_row": carry_on.after_row,
            "note": carry_on.note,
        },
    )
