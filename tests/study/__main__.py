"""Prints how well ideas are counted, sheets taken apart, cones foretold, kilns filled and weeks of
them planned.

Run: make study (some minutes).
"""

import sys
from collections.abc import Iterator

import numpy as np

from planning.exploration import fitted
from planning.exploration.copies import coincidence
from planning.exploration.ideas import ideas_in
from planning.exploration.poses import WAYS
from planning.exploration.similarity import compared, likeness
from tests.planning.exploration.ideas import FITTED, UNSEEN, Array

from . import heat, packing, solids, weeks
from .drawings import Again, Read, again, made_up, of_pictures, read
from .figures import auc, counted, pairs
from .outside import ICONS, LIVING, outlines, sketchbooks
from .sheets import table

SETS = 200


def say(words: str = "") -> None:
    sys.stdout.write(words + "\n")
    sys.stdout.flush()


def collections(scale: float = 1.0) -> Iterator[tuple[str, Read]]:
    """What likeness is checked on; none of it was fitted to."""
    count = round(120 * scale)
    yield "forms of the families fitted to", read(made_up(300_000, count, FITTED), 5, 11)
    yield "forms of other families", read(made_up(200_000, count, UNSEEN), 5, 12)
    yield "outside icons", read(outlines(ICONS)[: round(150 * scale)], 4, 13)
    yield "outlines of living things", read(outlines(LIVING)[: round(68 * scale)], 4, 14)
    yield "photos of sketchbook pages", of_pictures(sketchbooks(round(30 * scale), 10))


def separated(drawings: Read, distances: Array) -> tuple[float, float]:
    """The area under the curve: of all pairs, and of pairs of which one is mirrored."""
    alike = pairs(likeness(distances))
    same = pairs(drawings.idea[:, None] == drawings.idea)
    other_way = pairs(drawings.mirrored[:, None] != drawings.mirrored)
    all_of_them = auc(alike, same)
    if not (other_way & same).any():
        return all_of_them, float("nan")
    return all_of_them, auc(alike[other_way], same[other_way])


def lowered(drawings: Read, chance: Array, sets: int) -> float:
    """How often a set has more ideas without some drawing in the middle of it."""
    rng = np.random.default_rng(7)
    worse = []
    for _ in range(sets):
        some = rng.permutation(len(chance))[: rng.integers(5, 21)]
        table = chance[np.ix_(some, some)]
        less = np.delete(np.arange(len(some)), rng.integers(len(some)))
        without = ideas_in(table[np.ix_(less, less)]).distinct
        worse.append(without > ideas_in(table).distinct + 0.05)
    return float(np.mean(worse))


def coincidences(cases: list[Again]) -> tuple[Array, Array]:
    """Of copies, and of careful redrawings by the same hand."""
    told = []
    for case in cases:
        ways = compared([case.first[0], case.copy[0], case.redrawing[0]]).ways[0]
        others = zip((case.copy, case.redrawing), ways[1:], strict=True)
        told.append([coincidence(case.first[1], other[1], WAYS[way]) for other, way in others])
    copies, redrawings = np.array(told).T
    return copies, redrawings


def main() -> None:
    say(f"{'same idea or not':34} {'drawings':>8} {'unread':>6} {'AUC':>7} {'mirrored':>8}")
    known = []
    for name, drawings in collections():
        distances = drawings.distances()
        known.append((name, drawings, likeness(distances)))
        one, mirrored = separated(drawings, distances)
        count = len(drawings.idea)
        say(f"{name:34} {count:8} {drawings.unread:6} {one:7.4f} {mirrored:8.4f}")
    say()
    say(
        f"{'distinct ideas, 5 to 20 drawings':34} {'r':>6} {'error':>6} {'groups':>6} {'range':>6} "
        f"{'lower':>6}"
    )
    for name, drawings, chance in known:
        told = counted(drawings.idea, chance, SETS, 21)
        less = lowered(drawings, chance, SETS)
        say(
            f"{name:34} {told.correlation:6.3f} {told.error:6.1%} {told.groups_right:6.0%} "
            f"{told.within_range:6.0%} {less:6.1%}"
        )
    say()
    forms = made_up(600_000, 60, UNSEEN)
    for shaky in (1.0, 2.0, 3.0):
        drawings = read(forms, 4, 31, shaky=shaky)
        told = counted(drawings.idea, likeness(drawings.distances()), SETS, 22)
        part = float(np.mean(told.distinct / told.true))
        say(f"a hand that trembles {shaky:g} times as much: {part:.1%} of the true number")
    say()
    copies, redrawings = coincidences(again(made_up(700_000, 150, FITTED + UNSEEN), 41))
    say(f"copies caught: {np.mean(copies > fitted.COPY):.1%}")
    say(f"redrawings called copies: {np.mean(redrawings > fitted.COPY):.1%}")
    say()
    for line in solids.table():
        say(line)
    say()
    for line in table():
        say(line)
    say()
    for line in heat.table():
        say(line)
    say()
    for line in packing.table():
        say(line)
    say()
    for line in weeks.table():
        say(line)


if __name__ == "__main__":
    main()
