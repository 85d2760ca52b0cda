"""The clay of a whole class in one post, when it stands in a row at the scale."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import Assignment, Piece, PlanState, PlanVersion
from studio.clay.models import Entry, Lot
from studio.errors import Problem, Refused
from studio.people.models import User
from studio.ware.models import Pot
from studio.ware.services import begin_pot

from .issuing import (
    issue_from,
    locked_pots,
    pot_hindrance,
    require_same_studio,
    students_to_be_told,
    talk_first_sentence,
)
from .posting import (
    check_body,
    check_to_build_with,
    locked_lots,
    require_hands_out,
    too_little,
    whole_grams,
)

MOST_ROWS = 200


@dataclass(frozen=True)
class IssueRow:
    """What one piece gets, out of which lot."""

    piece: Piece
    lot: Lot
    grams: float


def issue_class_list(
    *, assignment: Assignment, rows: Sequence[IssueRow], by: User, at: datetime
) -> list[Entry]:
    """All rows or none, in their order; a piece whose pot isn't begun begins it.

    Raises `Refused` with a sentence at every row that can't be: fields are `rows.0.piece`,
    `rows.0.lot` and `rows.0.grams`.
    """
    require_hands_out(by, assignment.section)
    require_same_studio(assignment.section.studio, [row.lot for row in rows])
    if not 0 < len(rows) <= MOST_ROWS:
        message = _("Tick whoever gets clay now: at least one, at most %(most)s at once.")
        raise Refused(message % {"most": MOST_ROWS}, field="rows")
    grams = _weights(rows)
    with transaction.atomic():
        pieces = _locked_pieces(rows)
        standing = Pot.objects.standing().filter(piece__in=pieces)
        pots = {pot.piece_id: pot for pot in locked_pots(standing)}
        lots = locked_lots(row.lot for row in rows)
        problems = [
            *_piece_problems(assignment, rows, pieces, pots),
            *_lot_problems(assignment, rows, grams, lots),
        ]
        if problems:
            raise Refused.all_of(problems)
        _begin_missing(pieces, pots, by, at)
        return [
            issue_from(
                lots[row.lot.pk],
                pots[row.piece.pk],
                grams[n],
                by=by,
                # A moment apart, so that the ledger keeps the order of the row at the scale.
                at=at + timedelta(microseconds=n),
                at_row=f"rows.{n}.",
            )
            for n, row in enumerate(rows)
        ]


def _weights(rows: Sequence[IssueRow]) -> list[int]:
    weights, problems = [], []
    for n, row in enumerate(rows):
        try:
            weights.append(whole_grams(row.grams, f"rows.{n}.grams"))
        except Refused as refusal:
            problems += refusal.problems
    if problems:
        raise Refused.all_of(problems)
    return weights


def _locked_pieces(rows: Sequence[IssueRow]) -> dict[UUID, Piece]:
    found = (
        Piece.objects.select_for_update(of=("self",))
        .select_related("studio", "student")
        .filter(pk__in={row.piece.pk for row in rows})
        .order_by("pk")
    )
    return {piece.pk: piece for piece in found}


def _piece_problems(
    assignment: Assignment,
    rows: Sequence[IssueRow],
    pieces: dict[UUID, Piece],
    pots: dict[UUID, Pot],
) -> Iterator[Problem]:
    approved = PlanVersion.objects.filter(piece__in=pieces, state=PlanState.APPROVED)
    planned = set(approved.values_list("piece", flat=True))
    students = {piece.student_id for piece in pieces.values()}
    to_be_told = students_to_be_told(assignment.section.studio, students)
    for n, row in enumerate(rows):
        piece, pot = pieces.get(row.piece.pk), pots.get(row.piece.pk)
        sentence = ""
        if piece is None or piece.assignment_id != assignment.pk:
            sentence = _("This piece is not on the list of this class any more.")
        elif pot is None and piece.pk not in planned:
            sentence = _(
                "%(student)s has no approved plan yet, and clay is weighed by the plan. Approve "
                "it first, or issue to the class."
            ) % {"student": piece.student.short_name}
        elif piece.student_id in to_be_told:
            sentence = talk_first_sentence(piece.student)
        elif pot is not None:
            sentence = pot_hindrance(pot)
        if sentence:
            yield Problem(sentence, f"rows.{n}.piece")


def _lot_problems(
    assignment: Assignment, rows: Sequence[IssueRow], grams: Sequence[int], lots: dict[UUID, Lot]
) -> Iterator[Problem]:
    """Rows are served in their order; one that the lot can't fill leaves it to the next."""
    taken_g: Counter[UUID] = Counter()
    for n, row in enumerate(rows):
        lot, asked_g = lots[row.lot.pk], grams[n]
        try:
            check_to_build_with(lot, assignment.section.studio, f"rows.{n}.lot")
            check_body(lot, assignment.clay_body, f"rows.{n}.lot")
            left_g = lot.balance_g - taken_g[lot.pk]
            if left_g < asked_g:
                raise too_little(lot, left_g, asked_g, f"rows.{n}.grams")
        except Refused as refusal:
            yield from refusal.problems
        else:
            taken_g[lot.pk] += asked_g


def _begin_missing(
    pieces: dict[UUID, Piece], pots: dict[UUID, Pot], by: User, at: datetime
) -> None:
    begun = [begin_pot(piece=piece, by=by, at=at) for pk, piece in pieces.items() if pk not in pots]
    pots |= {pot.piece_id: pot for pot in locked_pots(begun)}
