"""How well photographed sheets are taken apart, by paper; none of these sheets was tuned on.

Run: python -m tests.study.sheets (some minutes), or as a part of make study
"""

import sys
from collections.abc import Callable, Iterator

from tests.planning.exploration.ideas import Array
from tests.planning.splitting.counting import Figures, Split, figures, split
from tests.planning.splitting.cut import cut_sheet
from tests.planning.splitting.pages import PAPERS
from tests.planning.splitting.sheets import made_up, sheet

from .outside import ICONS, LIVING, outlines

FIRST = 10_000
EACH = 30


def apart(
    first: int, sheets: int, paper: str, form: Callable[[int], Array], count: int | None = None
) -> Iterator[Split]:
    for number in range(sheets):
        yield split(sheet(first + number, paper, form, count))


def collections() -> Iterator[tuple[str, Figures]]:
    every: list[Split] = []
    for number, paper in enumerate(PAPERS):
        some = list(apart(FIRST + 1000 * number, EACH, paper, made_up))
        every += some
        yield paper, figures(some)
    yield "all papers", figures(every)
    forms = outlines(ICONS + LIVING)
    one = [
        each
        for number, paper in enumerate(PAPERS)
        for each in apart(FIRST + 6000 + 100 * number, EACH // 3, paper, made_up, 1)
    ]
    yield "photos of one drawing", figures(one)
    outside = apart(FIRST + 7000, EACH, "plain", lambda number: forms[number % len(forms)])
    yield "outside drawings, plain", figures(outside)
    yield "forms cut from paper", figures(split(cut_sheet(FIRST + 8000 + n)) for n in range(EACH))


def table() -> Iterator[str]:
    yield (
        f"{'sheets taken apart':34} {'sheets':>6} {'drawn':>6} {'recall':>6} {'precis':>6} "
        f"{'exact':>6} {'order':>6}"
    )
    for name, told in collections():
        yield (
            f"{name:34} {told.sheets:6} {told.drawings:6} {told.recall:6.3f} {told.precision:6.3f} "
            f"{told.exact:6.0%} {told.in_order:6.0%}"
        )


if __name__ == "__main__":
    for line in table():
        sys.stdout.write(line + "\n")
        sys.stdout.flush()
