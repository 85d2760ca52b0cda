"""Weeks of kilns as a school has them, planned, against three bounds.

Sizes, kilns and dates are invented, of a usual school kind (common practice, no source): some
classes make their pots at the same time, dry them together and glaze them on one day.
Run: python -m tests.study.weeks
"""

import sys
import time as clock
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from studio.kilns.furnished import Stock
from studio.kilns.packing.inputs import Furniture, Outline, OutlineShape, Piece, Shelf
from studio.kilns.weeks.answer import Answer
from studio.kilns.weeks.inputs import Hours, Kiln, Pot, Week
from studio.kilns.weeks.plan import plan_week
from studio.kilns.weeks.starts import possible_starts

MONDAY = date(2026, 3, 2)
ZONE = ZoneInfo("UTC")
POSTS = ((125.0, 3), (150.0, 3), (200.0, 3), (250.0, 2), (300.0, 1))
LARGE = Kiln(
    "large",
    Furniture(Shelf("round", 580, 580), 760, 20, (125, 150, 200, 250, 300), 8, 15),
    Stock(6, POSTS),
)
SQUARE = Kiln(
    "square",
    Furniture(Shelf("rectangle", 560, 500), 700, 20, (125, 150, 200, 250, 300), 8, 15),
    Stock(6, POSTS),
    frozenset({"small"}),
)
SMALL = Kiln(
    "small",
    Furniture(Shelf("octagon", 420, 420), 480, 15, (125, 150, 200, 250), 8, 15),
    Stock(4, POSTS),
    frozenset({"square"}),
)
KILNS = (LARGE, SQUARE, SMALL)
EVENING = Hours(
    (time(7), time(22)),
    (time(6), time(21, 30)),
    {"bisque": (13.0, 25.0), "cone 6": (8.5, 22.0), "cone 04": (7.5, 20.0)},
)
SHAPES: tuple[OutlineShape, ...] = ("round", "round", "round", "oval", "leaf", "rounded_square")
PROGRAMS = ("bisque", "bisque", "cone 6", "bisque", "cone 6", "cone 04")


def at(day: int, hour: int) -> datetime:
    return datetime.combine(MONDAY + timedelta(days=day), time(hour), UTC)


def pots(count: int, seed: int, each_class: int = 18, weeks: int = 1) -> tuple[Pot, ...]:
    """Classes of pots for one program each; a class is ready on one of the first days, is due in
    this week or after it, and has its glaze day about then. Over several weeks the classes take
    turns in which of them that is."""
    dice = np.random.default_rng(seed)
    made: list[Pot] = []
    while len(made) < count:
        number = len(made) // each_class
        program = PROGRAMS[number % len(PROGRAMS)]
        turn = timedelta(days=7 * (number // len(PROGRAMS) % weeks))
        ready = at(int(dice.integers(0, 3)), 8) - timedelta(days=1) + turn
        due = at(int(dice.integers(6, 12)), 18) + turn
        glaze = at(int(dice.integers(4, 9)), 8) + turn if program == "bisque" else None
        for _ in range(min(each_class, count - len(made))):
            late = timedelta(days=int(dice.integers(1, 3))) if dice.random() < 0.1 else timedelta()
            made.append(
                Pot(
                    _piece(f"P{len(made)}", dice),
                    frozenset({program}),
                    ready + late,
                    due,
                    glaze,
                    must_go=bool(dice.random() < 0.02),
                )
            )
    return tuple(made)


def _piece(name: str, dice: np.random.Generator) -> Piece:
    shape = SHAPES[int(dice.integers(len(SHAPES)))]
    front = float(np.clip(dice.normal(135, 30), 70, 230))
    depth = front if shape in {"round", "rounded_square"} else front * float(dice.uniform(0.6, 0.9))
    height = float(np.clip(dice.normal(170, 45), 70, 320))
    return Piece(name, round(front), round(depth), round(height), Outline(shape, 0.3))


def week(
    count: int, seed: int, kilns: tuple[Kiln, ...] = KILNS, days: int = 5, weeks: int = 1
) -> Week:
    hours = {kiln.id: EVENING for kiln in kilns}
    dates = [MONDAY + timedelta(days=7 * n + day) for n in range(weeks) for day in range(days)]
    starts = possible_starts(hours, dates, ZONE)
    until = max(each.unload_at for each in starts)
    return Week(
        kilns,
        starts,
        pots(count, seed, weeks=weeks),
        max(until, at(7 * weeks, 0)),
        frozenset({"bisque"}),
    )


def slots(
    count: int, seed: int, kilns: tuple[Kiln, ...] = (LARGE, SQUARE), days: int = 5, weeks: int = 1
) -> Week:
    """Each kiln is lit once a day, in the evening, each time with any one program."""
    found = week(count, seed, kilns, days, weeks)
    last = {(each.kiln, each.program, each.lit_at.date()): each for each in found.starts}
    return replace(found, starts=tuple(last.values()))


@dataclass(frozen=True)
class Figures:
    answer: Answer
    pots: int
    seconds: float


def planned(asked: Week) -> Figures:
    begun = clock.process_time()
    answer = plan_week(asked)
    return Figures(answer, len(asked.pots), clock.process_time() - begun)


def cases() -> Iterator[tuple[str, Week]]:
    for seed in range(3):
        yield f"150 pots, 3 kilns at all hours, {seed + 1}", week(150, seed)
    for seed in range(3):
        yield f"150 pots, 2 kilns, 10 slots, {seed + 1}", slots(150, seed)
    for seed in range(3):
        yield f"150 pots, 2 kilns, 6 slots, {seed + 1}", slots(150, seed, days=3)
    yield "240 pots, 2 kilns, 6 slots: too many", slots(240, 0, days=3)


def table() -> Iterator[str]:
    yield (
        "Late / out after the glaze day / left out though a firing suits them / firings.\n"
        "The calibrated bound is that by the fullest trial load; by the usual (median) one is\n"
        "what may be expected. By area and height no plan at all comes below."
    )
    yield (
        f"{'weeks planned':34} {'placed':>9} {'plan':>12} {'usual load':>12} {'calibrated':>12}"
        f" {'area-height':>12} {'short':>6} {'s':>6}"
    )
    for name, asked in cases():
        told = planned(asked)
        answer = told.answer
        placed = told.pots - len(answer.left_out)
        bounds = (answer.score, answer.usual, answer.calibrated, answer.area_height)
        parts = " ".join(f"{_parts(each):>12}" for each in bounds)
        yield (
            f"{name:34} {placed:4}/{told.pots:4} {parts} {short_of(told):6.1%} {told.seconds:6.1f}"
        )


def short_of(told: Figures) -> float:
    """How many more pots than by the calibrated bound are late, out after their glaze day or left
    out, as a share of those that could go."""
    score, bound = told.answer.score, told.answer.calibrated
    could = told.pots - len(told.answer.left_out) + score.left_out
    parts = ("late", "after_glaze_day", "left_out")
    worse = sum(max(getattr(score, part) - getattr(bound, part), 0) for part in parts)
    return float(worse / could)


def _parts(each: object) -> str:
    parts = ("late", "after_glaze_day", "left_out", "firings")
    return "/".join(str(getattr(each, part)) for part in parts)


if __name__ == "__main__":
    for line in table():
        sys.stdout.write(line + "\n")
        sys.stdout.flush()
