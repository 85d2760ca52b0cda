"""One build check, and one question to carry on, as their pages show them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from planning.pictures.checked import Checked
from planning.rows.rows import Row
from planning.selectors.lessons import building_lessons
from studio.bench.models import BuildCheck, CarryOn, CarryOnState, RowLaid
from studio.units.scales import Units

from .pictures import PlaceAnswer, answers_of, laid_over, outline_at, outline_of
from .rows import carried_timing, going, kept_rows


@dataclass(frozen=True)
class CheckSeen:
    """`may_ask`: it is the newest of its pot, nobody carries on from it yet or asks to; `asked`
    waits."""

    answers: list[PlaceAnswer]
    picture: Checked
    rows_likely: int
    edge_mm: float
    may_ask: bool
    asked: CarryOn | None

    @property
    def to_do(self) -> bool:
        """Something is to be put right before the next row."""
        return any(each.wrong for each in self.answers)

    @property
    def darts(self) -> bool:
        return any(each.darts for each in self.answers)


@dataclass(frozen=True)
class CarryOnSeen:
    """The pot over its outline, then with the outline from here; the new rows, each with the
    lesson that it should stand by. `rows_before` is how many were left of the list that it is
    asked to replace, None once it is answered."""

    answers: list[PlaceAnswer]
    picture: Checked
    onward: Checked
    edge_mm: float
    rows: list[tuple[Row, date | None]]
    coil_mm: float
    rows_before: int | None
    coil_before_mm: float


def check_seen(check: BuildCheck, units: Units) -> CheckSeen:
    """Seven queries; the check's pot is loaded as the views do."""
    pot = check.pot
    highest = RowLaid.objects.standing().filter(pot=pot).last()
    newest = BuildCheck.objects.standing().filter(pot=pot).last()
    asked = CarryOn.objects.asked().filter(pot=pot).first()
    edge = _edge_mm(check)
    return CheckSeen(
        answers=answers_of(check, units),
        picture=laid_over(check, outline_at(pot, _agreed_before(check))),
        rows_likely=highest.row if highest is not None else _rows_below(edge, going(pot).rows),
        edge_mm=edge,
        may_ask=newest is not None
        and newest.pk == check.pk
        and asked is None
        and not check.carry_ons.agreed().exists(),
        asked=asked,
    )


def carry_on_seen(asked: CarryOn, units: Units) -> CarryOnSeen:
    """Four queries."""
    check, pot = asked.check_made, asked.pot
    check.pot = pot
    outline = outline_at(pot, _agreed_before(check))
    way = going(pot)
    by_lesson = {}
    if asked.state in {CarryOnState.ASKED, CarryOnState.AGREED}:
        since = asked.asked_at.astimezone(pot.studio.zone).date()
        lessons = building_lessons(pot.piece, since)
        timed = carried_timing(asked, pot.piece.assignment, lessons)
        by_lesson = {each.row: each.on for each in timed.reached}
    waits = asked.state == CarryOnState.ASKED
    return CarryOnSeen(
        answers=answers_of(check, units),
        picture=laid_over(check, outline),
        onward=laid_over(check, outline, outline_of(asked)),
        edge_mm=_edge_mm(check),
        rows=[(row, by_lesson.get(row.row)) for row in kept_rows(asked.figures)],
        coil_mm=asked.figures["coil_mm"],
        rows_before=len(way.rows) - asked.after_row if waits else None,
        coil_before_mm=way.coil_mm,
    )


def _rows_below(edge_mm: float, rows: Sequence[Row]) -> int:
    """How many rows a wall of this height is likely to be: those of which the half stands."""
    tops = [0.0, *(row.height_mm for row in rows)]
    return max(sum((low + high) / 2 <= edge_mm for low, high in pairwise(tops)), 1)


def _edge_mm(check: BuildCheck) -> float:
    return max(float(each["measured"]["height_mm"]) for each in check.places)


def _agreed_before(check: BuildCheck) -> CarryOn | None:
    """The consent that held when the check was made."""
    return CarryOn.objects.agreed().filter(pot=check.pot, decided_at__lte=check.at).last()
