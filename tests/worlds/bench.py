"""A pot under way with rows, a measured wall, checks and a question to carry on."""

from collections.abc import Mapping
from typing import Any

from studio.bench.models import BuildCheck
from studio.bench.services import agree_to_carry_on, measure_wall, strike_out
from studio.ware.models import Pot
from tests.cast import NOW, School
from tests.studio.bench.pots import SOON, WITHIN, asked, checked


def things(cast: School, made: Mapping[str, str]) -> dict[str, Any]:
    waiting = asked(cast, 4, "A pot at the bench")
    pot: Pot = waiting.pot
    measure_wall(pot=pot, height_mm=70, after_row=4, by=cast.student, at=NOW)
    wrong: BuildCheck = checked(pot, cast.student, WITHIN, hours=0)
    strike_out(check=wrong, reason="The wrong pot.", by=cast.student, at=NOW)
    agreed = asked(cast, 4, "A pot that carries on")
    agree_to_carry_on(asked=agreed, by=cast.teacher, at=SOON, note="Keep the edge damp.")
    return {
        "bench_pot": pot,
        "build_check": waiting.check_made,
        "carry_on": waiting,
        "agreed_carry_on": agreed,
    }
