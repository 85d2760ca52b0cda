"""Pots at the bench, made through the services in as few lines as a test wants."""

from datetime import timedelta
from typing import Any

import pytest
from django.utils.module_loading import import_string

from planning.bench.measured import Measured
from studio.bench.models import BuildCheck, CarryOn
from studio.bench.services import agree_to_carry_on, ask_to_carry_on, check_build, lay_rows
from studio.people.models import User
from studio.ware.models import Pot
from tests.cast import NOW, School
from tests.studio.ware.pots import a_pot

SOON = NOW + timedelta(hours=1)
# The pot of `tests.planning.work.LINES`: 190 mm wide at 100 mm, a little less above.
WITHIN = (Measured(100, "soft", front_mm=191),)
TOO_WIDE = (Measured(100, "soft", front_mm=206),)


def laid(cast: School, rows: int = 4, title: str = "A pot under way") -> Pot:
    """A wet pot of the student's on which so many rows stand."""
    pot = a_pot(cast, title)
    lay_rows(pot=pot, row=rows, by=cast.student, at=NOW)
    return pot


def checked(
    pot: Pot, by: User, measured: tuple[Measured, ...] = TOO_WIDE, hours: int = 1
) -> BuildCheck:
    return check_build(pot=pot, measured=measured, by=by, at=NOW + timedelta(hours=hours))


def asked(cast: School, rows: int = 4, title: str = "A pot under way") -> CarryOn:
    """The student asks to carry on from a pot that came out wide."""
    check = checked(laid(cast, rows, title), cast.student)
    return ask_to_carry_on(check=check, laid=rows, by=cast.student, at=SOON)


def agreed_before(
    where: str, question: CarryOn, cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The teacher agrees to carry on just before the function that `where` names is called."""
    usual = import_string(where)

    def meanwhile(*of: Any) -> Any:
        agree_to_carry_on(asked=question, by=cast.teacher, at=SOON)
        return usual(*of)

    monkeypatch.setattr(where, meanwhile)
