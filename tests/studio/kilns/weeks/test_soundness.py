"""A week that can't be planned is refused at its field."""

from dataclasses import replace
from datetime import timedelta

import pytest

from studio.kilns.packing.inputs import Layer, Placement
from studio.kilns.refusal import KilnRefused
from studio.kilns.weeks.inputs import Week
from studio.kilns.weeks.plan import plan_week
from studio.kilns.weeks.soundness import MOST_POTS

from .tiny import at, kiln, piece, pot, start, week

SOUND = week([kiln("a", 2)], [start("S0", "a", 0)], [pot("P0")])
S0 = SOUND.starts[0]
STRANGER = (Layer(None, (Placement("who", 0, 0),)),)
STANDS = (Layer(None, (Placement("P0", 0, 0),)),)


@pytest.mark.parametrize(
    ("asked", "path", "message"),
    [
        (replace(SOUND, pots=SOUND.pots * 2), "pots", "P0 is listed twice"),
        (replace(SOUND, kilns=SOUND.kilns * 2), "kilns", "a is listed twice"),
        (replace(SOUND, starts=(S0, S0)), "starts", "S0 is listed twice"),
        (
            replace(SOUND, starts=tuple(replace(S0, id=n, layers=STANDS) for n in "xy")),
            "starts",
            "P0 is listed twice",
        ),
        (replace(SOUND, starts=(replace(S0, kiln="b"),)), "starts.0.kiln", "b isn't among"),
        (
            replace(SOUND, starts=(replace(S0, off_at=S0.lit_at),)),
            "starts.0.lit_at",
            "A kiln is lit, is off later",
        ),
        (
            replace(SOUND, starts=(replace(S0, layers=STRANGER),)),
            "starts.0.layers",
            "who stands on a shelf",
        ),
        (replace(SOUND, until=at(0)), "until", "The week ends after its last firing"),
        (
            replace(SOUND, pots=tuple(pot(f"P{n}") for n in range(MOST_POTS + 1))),
            "pots",
            f"may have at most {MOST_POTS}",
        ),
        (
            replace(SOUND, pots=(replace(SOUND.pots[0], piece=piece("P0", -1)),)),
            "pieces.0.height_mm",
            "more than 0",
        ),
    ],
)
def test_what_is_no_week_is_refused(asked: Week, path: str, message: str) -> None:
    with pytest.raises(KilnRefused) as refused:
        plan_week(asked)
    assert any(each.path == path and message in each.message for each in refused.value.problems)


def test_a_sound_week_is_planned() -> None:
    assert plan_week(SOUND).pots == {"P0": "S0"}
    assert SOUND.until - S0.unload_at > timedelta()
