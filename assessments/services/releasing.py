"""Releasing marks: from then on the student reads them, and they stay as they were."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.models import Result
from assessments.selectors.evidence import Evidence, PieceEvidence, evidence_of
from assessments.selectors.marks import Given, MarkingSeen, PieceMarks, loaded, marks_of
from assessments.selectors.rubrics import CriterionSeen
from planning.models import Piece
from studio.errors import Conflict, Problem, Refused
from studio.people.audit import record_all
from studio.people.models import User
from studio.people.names import tidy

FIELD = "pieces"
MOST_REASON = 400


def release(
    *,
    pieces: Collection[Piece],
    by: User,
    at: datetime,
    with_open: bool = False,
    chosen: Mapping[UUID, UUID] | None = None,
) -> list[Result]:
    """Release the marks of these pieces, all of them or none.

    Released is the releaser's own marking, else the only one; where two differ, `chosen` names by
    piece the marking that counts. A piece with open criteria is released only `with_open`: they
    read 'not judged yet' and there is no total.
    """
    if not pieces:
        raise Refused(_("Tick at least one pot."), field=FIELD)
    with transaction.atomic():
        held = _held(pieces, by)
        marks = marks_of(held)
        taken = _taken(held, marks, by, chosen or {}, with_open=with_open)
        evidence = evidence_of(held)
        made = [
            _result(marks[piece.pk], taken[piece.pk], evidence[piece.pk], by, at) for piece in held
        ]
        Result.objects.bulk_create(made)
        record_all(
            studio=held[0].studio,
            by=by,
            action="marks released",
            changes=[(each.piece, {}, _shown(each)) for each in made],
        )
    return made


def release_again(
    *,
    piece: Piece,
    by: User,
    at: datetime,
    reason: str,
    number: int,
    with_open: bool = False,
    chosen: UUID | None = None,
) -> Result:
    """A re-mark: the next result of a piece, with the reason; the earlier ones stay.

    `number` is the result that was on the page.
    """
    with transaction.atomic():
        [held] = _held([piece], by)
        marks = marks_of([held])[held.pk]
        before = marks.result
        if before is None:
            raise Refused(_("Nothing is released yet for this pot. Release it first."))
        if before.number != number:
            raise Conflict(
                _("Somebody released this pot again meanwhile. Look at the new result first.")
            )
        fresh = replace(marks, result=None)
        choice = {held.pk: chosen} if chosen else {}
        taken = _taken([held], {held.pk: fresh}, by, choice, with_open=with_open)
        made = _result(fresh, taken[held.pk], evidence_of([held])[held.pk], by, at)
        made.number, made.reason = number + 1, tidy(reason)
        if not made.reason:
            message = _("Write why it is marked again; the student reads it with the result.")
            raise Refused(message, field="reason")
        if len(made.reason) > MOST_REASON:
            message = _("This is too long. Shorten it to %(most)s characters.")
            raise Refused(message % {"most": MOST_REASON}, field="reason")
        Result.objects.filter(pk=before.pk).update(replaced_at=at)
        made.save(force_insert=True)
        changes = [(held, _shown(before), _shown(made) | {"reason": made.reason})]
        record_all(studio=held.studio, by=by, action="marks released again", changes=changes)
    return made


def _held(pieces: Collection[Piece], by: User) -> list[Piece]:
    """The pieces, locked in the order of their ids; all taught by the person."""
    wanted = {piece.pk for piece in pieces}
    held = Piece.objects.filter(pk__in=wanted).order_by("pk").select_for_update(of=("self",))
    there = set(held.values_list("pk", flat=True))
    if there != wanted:
        raise Conflict(_("A piece is gone: its brief was taken back from the class."), field=FIELD)
    taught = loaded(Piece.objects.taught_by(by).filter(pk__in=wanted))
    found = list(taught.order_by("student__family_name", "student__given_name", "pk"))
    if len(found) < len(wanted):
        raise PermissionDenied
    return found


def _taken(
    pieces: Sequence[Piece],
    marks: Mapping[UUID, PieceMarks],
    by: User,
    chosen: Mapping[UUID, UUID],
    *,
    with_open: bool,
) -> dict[UUID, MarkingSeen]:
    """Whose marking counts for each piece; raises every reason against it at once."""
    taken: dict[UUID, MarkingSeen] = {}
    problems: list[Problem] = []
    for piece in pieces:
        here = marks[piece.pk]
        marking = _counting(here, by, chosen.get(piece.pk))
        if here.result is not None:
            why = _("is released already; mark it again with a reason to change that")
        elif marking is None:
            why = (
                _("is marked in two ways; choose whose marks count")
                if here.begun
                else _("is not marked yet")
            )
        elif (count := here.score_of(marking).open) and not with_open:
            why = ngettext(
                "has %(n)d open criterion; judge it, or say that it may stay open",
                "has %(n)d open criteria; judge them, or say that they may stay open",
                count,
            ) % {"n": count}
        else:
            taken[piece.pk] = marking
            continue
        words = {"name": piece.student.short_name, "code": piece.code, "why": why}
        problems.append(Problem(_("%(name)s, %(code)s, %(why)s.") % words, FIELD))
    if problems:
        faster = any(marks[piece.pk].result is not None for piece in pieces)
        raise (Conflict if faster else Refused).all_of(problems)
    return taken


def _counting(marks: PieceMarks, by: User, chosen: UUID | None) -> MarkingSeen | None:
    if chosen is None:
        return marks.to_release(by)
    return next((each for each in marks.begun if each.pk == chosen), None)


def _result(
    marks: PieceMarks, marking: MarkingSeen, evidence: PieceEvidence, by: User, at: datetime
) -> Result:
    found = marks.score_of(marking)
    return Result(
        piece=marks.piece,
        marking_id=marking.pk,
        levels=[_level(marks, each, marking.given.get(each.pk)) for each in marks.criteria],
        comment=marking.comment,
        score=found.total,
        most=found.most,
        evidence=evidence.as_json([_beside(marks, each, evidence) for each in marks.criteria]),
        released_at=at,
        released_by=by,
    )


def _level(marks: PieceMarks, criterion: CriterionSeen, given: Given | None) -> dict[str, Any]:
    """As `Result.levels` keeps it: decimals as text."""
    exempt = criterion.pk in marks.exempt
    level = given.level if given and not exempt else None
    return {
        "criterion": criterion.title,
        "weight": str(criterion.weight),
        "points": str(level.points) if level else None,
        "most": str(criterion.most),
        "descriptor": level.descriptor if level else "",
        "note": given.note if given and not exempt else "",
        "exempt": exempt,
    }


def _beside(marks: PieceMarks, criterion: CriterionSeen, evidence: PieceEvidence) -> Evidence:
    """Nothing is kept beside what isn't judged."""
    if criterion.pk in marks.exempt:
        return Evidence()
    return evidence.beside(criterion.evidence)


def _shown(result: Result) -> dict[str, Any]:
    """For the audit line: figures and no free text."""
    return {
        "number": result.number,
        "score": None if result.score is None else str(result.score),
        "most": str(result.most),
        "points": {each["criterion"]: each["points"] for each in result.levels},
        "marking": str(result.marking_id),
    }
