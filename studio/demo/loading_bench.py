"""Loads what happened at the bench: rows laid, the wall measured, build checks, carrying on."""

from datetime import datetime
from typing import Protocol

from planning.bench.measured import Measured
from planning.rows.rows import Row
from studio.bench.models import BuildCheck
from studio.bench.selectors.rows import going
from studio.bench.services import (
    agree_to_carry_on,
    ask_to_carry_on,
    check_build,
    decline_to_carry_on,
    lay_rows,
    measure_wall,
)
from studio.demo.material import Course, PotFate
from studio.people.models import User
from studio.ware.models import Pot

AFTER = 3
FIRST_HOUR, LAST_HOUR = 10, 12


class UnderWay(Protocol):
    """A pot with whose it is and when its class met."""

    @property
    def pot(self) -> Pot: ...
    @property
    def fate(self) -> PotFate: ...
    @property
    def course(self) -> Course: ...
    @property
    def by(self) -> User: ...
    def at(self, offset: int, hour: int = 10) -> datetime: ...


def build(making: UnderWay) -> None:
    """Rows, then the checks, then the question that rests on the last of them."""
    fate, pot = making.fate, making.pot
    if not fate.rows:
        return
    student, begun, last = pot.piece.student, making.at(making.course.issued, 10), making.at(-1, 12)
    rows = going(pot).rows
    if fate.after_three is not None:
        lay_rows(pot=pot, row=AFTER, by=student, at=begun)
        height = rows[AFTER - 1].height_mm + fate.after_three
        measure_wall(pot=pot, height_mm=round(height), after_row=AFTER, by=student, at=begun)
    check = _checked(making, rows, student)
    stand = fate.checks[-1][0][0] if fate.carry_on else fate.rows
    lay_rows(pot=pot, row=stand, by=student, at=last)
    if fate.carry_on and check is not None:
        _carry_on(check, stand, making, last)
        if fate.carry_on == "agreed":
            lay_rows(pot=pot, row=fate.rows, by=student, at=last)


def _checked(making: UnderWay, rows: tuple[Row, ...], student: User) -> BuildCheck | None:
    """Each check in the last lesson before its day; the days share out the time since the clay."""
    fate, check = making.fate, None
    for number, places in enumerate(fate.checks, start=1):
        late = number == len(fate.checks)
        at = making.at(-1 if late else making.course.issued, LAST_HOUR if late else FIRST_HOUR + 1)
        measured = [
            Measured(
                round(rows[row - 1].height_mm),
                state,
                front_mm=round(rows[row - 1].front_mm + off),
            )
            for row, off, state in places
        ]
        check = check_build(pot=making.pot, measured=measured, by=student, at=at)
    return check


def _carry_on(check: BuildCheck, stand: int, making: UnderWay, at: datetime) -> None:
    fate = making.fate
    asked = ask_to_carry_on(check=check, laid=stand, by=making.pot.piece.student, at=at)
    if fate.carry_on == "agreed":
        agree_to_carry_on(asked=asked, by=making.by, at=at, note=fate.carry_on_note)
    if fate.carry_on == "declined":
        decline_to_carry_on(asked=asked, by=making.by, at=at, note=fate.carry_on_note)
