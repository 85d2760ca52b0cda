"""A week of kilns planned, against one full kiln packed, and how time grows with the pots.

Two kilns that are lit every evening of five days, each time with any one program: ten slots; more
pots than 150 come ready over as many weeks. Processor time. Run: python -m tests.bench.bench_weeks
"""

import statistics
import sys
import time

from studio.kilns.furnished import furnished
from studio.kilns.packing.inputs import Piece
from studio.kilns.weeks.inputs import Week
from studio.kilns.weeks.inside import Inside
from studio.kilns.weeks.plan import plan_week
from tests.study.weeks import LARGE, pots, slots

POTS = 150
MORE = ((50, 1), (300, 2), (600, 4))
"""How many pots over how many weeks."""

MOST_S, MOST_LARGE_S = 30.0, 180.0
"""What such a week may take, and the largest."""


def one_load() -> float:
    """Median time of packing the large kiln as full as pots of a week usually make it."""
    taken = []
    for seed in range(5):
        inside = Inside(LARGE)
        some: list[Piece] = []
        for each in pots(POTS, seed):
            if inside.filled(some) > 1 / 2:
                break
            some.append(each.piece)
        begun = time.process_time()
        furnished(LARGE.furniture, LARGE.stock, some)
        taken.append(time.process_time() - begun)
    return statistics.median(taken)


def seconds(asked: Week) -> float:
    begun = time.process_time()
    plan_week(asked)
    return time.process_time() - begun


def main() -> None:
    one = one_load()
    week = seconds(slots(POTS, 0))
    sys.stdout.write(
        f"a week of {POTS} pots, 2 kilns, 10 slots / one full kiln packed: "
        f"{week / one:.0f} times as long ({week:.1f} s of {MOST_S:.0f} s)\n"
    )
    for count, weeks in MORE:
        taken = seconds(slots(count, 0, weeks=weeks))
        sys.stdout.write(
            f"{count} pots over {weeks} weeks / {POTS} in one: {taken / week:.1f} "
            f"({taken:.0f} s of {MOST_LARGE_S:.0f} s)\n"
        )
        sys.stdout.flush()


if __name__ == "__main__":
    main()
