"""What a study counts: areas under curves, errors of the number of ideas, sets to try it on."""

from dataclasses import dataclass

import numpy as np
from scipy.stats import rankdata

from planning.exploration.ideas import Ideas, ideas_in
from tests.planning.exploration.ideas import Array


def auc(alike: Array, same: Array) -> float:
    """The chance that of two pairs the one of the same idea is the more alike (Hanley and McNeil
    1982: area under the receiver operating characteristic)."""
    ranks = rankdata(alike)
    hits = int(same.sum())
    return float((ranks[same].sum() - hits * (hits + 1) / 2) / (hits * (len(same) - hits)))


def pairs(table: Array) -> Array:
    """Every two once, of an (n, n, …) table."""
    return np.asarray(table[np.triu_indices(len(table), 1)])


def some_of(ideas: Array, rng: np.random.Generator, count: int, *, evenly: bool) -> Array:
    """So many drawings in any order, of one idea up to as many; which they are."""
    names = rng.permutation(np.unique(ideas))[: rng.integers(1, count + 1)]
    left = [list(rng.permutation(np.flatnonzero(ideas == name))) for name in names]
    weight = np.ones(len(names)) if evenly else rng.dirichlet(np.full(len(names), 0.5)) + 1e-9
    chosen = [each.pop() for each in left]
    while len(chosen) < count and any(left):
        odds = weight * [bool(each) for each in left]
        chosen.append(left[rng.choice(len(left), p=odds / odds.sum())].pop())
    return rng.permutation(chosen)


@dataclass(frozen=True)
class Counted:
    """Sets of drawings: the true number of ideas in each, and what was found."""

    true: Array
    found: tuple[Ideas, ...]

    @property
    def distinct(self) -> Array:
        return np.array([each.distinct for each in self.found])

    @property
    def correlation(self) -> float:
        return float(np.corrcoef(self.true, self.distinct)[0, 1])

    @property
    def error(self) -> float:
        """Mean relative error."""
        return float(np.mean(np.abs(self.distinct - self.true) / self.true))

    @property
    def within_range(self) -> float:
        inside = [
            f.low - 0.05 <= t <= f.high + 0.05 for f, t in zip(self.found, self.true, strict=True)
        ]
        return float(np.mean(inside))

    @property
    def groups_right(self) -> float:
        return float(
            np.mean([len(f.groups) == t for f, t in zip(self.found, self.true, strict=True)])
        )


def counted(
    ideas: Array, chance: Array, sets: int, seed: int, sizes: tuple[int, int] = (5, 20)
) -> Counted:
    """Sets of drawings, half of them evenly redrawn, and the ideas found in each."""
    rng = np.random.default_rng(seed)
    true, found = [], []
    for number in range(sets):
        some = some_of(
            ideas, rng, int(rng.integers(sizes[0], sizes[1] + 1)), evenly=number % 2 == 0
        )
        true.append(len(set(ideas[some])))
        found.append(ideas_in(chance[np.ix_(some, some)]))
    return Counted(np.array(true), tuple(found))
