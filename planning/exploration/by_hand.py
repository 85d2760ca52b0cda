"""Ideas put right by hand: which drawings are one by somebody's word, and how many that makes.

Drawings are told by their ids. What somebody said holds; all else stays as it was compared.
"""

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from planning.tracing.arrays import Floats

from . import fitted
from .ideas import grouped
from .similarity import kernel
from .vendi import vendi_score

Groups = list[frozenset[str]]


@dataclass(frozen=True)
class Change:
    """`join`: these are one idea, and so are all that were one with any of them. `separate`: each
    of these is an idea of its own; what they were one with stays together."""

    kind: Literal["join", "separate"]
    drawings: frozenset[str]


def put_right(
    told: Mapping[str, Any], order: Sequence[str], changes: Sequence[Change]
) -> dict[str, Any] | None:
    """`groups`, `copies`, `unreadable`, `distinct`, `low` and `high` after the changes, one by one;
    None where they change nothing.

    `told` has these as `run.comparison` says them, by ids, with `readable` and their `similarity`;
    `order` are the ids of all drawings as drawn. Of a drawing that is no longer there nothing is
    said. Separating never lowers a number and joining never raises one, but that a drawing which
    could not be compared begins to count.
    """
    sorting = _Sorting(told, order)
    for change in changes:
        sorting.take(change)
    after = sorting.told()
    same = all(after[name] == told[name] for name in ("groups", "copies", "unreadable"))
    return None if same else after


class _Sorting:
    """Groups by the usual line, with those of the lines for the fewest and the most ideas."""

    def __init__(self, told: Mapping[str, Any], order: Sequence[str]) -> None:
        self._place = {pk: n for n, pk in enumerate(order)}
        self._row = {pk: n for n, pk in enumerate(told["readable"])}
        self._similarity: Floats = np.array(told["similarity"], dtype=np.float64)
        self._first = {later: first for first, later in told["copies"]}
        self._unreadable = list(told["unreadable"])
        self._apart: set[tuple[str, str]] = set()
        self._usual: Groups = [frozenset(group) for group in told["groups"]]
        self._fewest = self._by(fitted.SAME_FOR_FEWEST)
        self._most = self._by(fitted.SAME_FOR_MOST)
        self._distinct, self._low = float(told["distinct"]), float(told["low"])
        self._high = float(told["high"])

    def _by(self, same: float) -> Groups:
        own = [pk for pk in self._row if pk not in self._first]
        rows = [self._row[pk] for pk in own]
        if not rows:
            return []
        groups = grouped(self._similarity[np.ix_(rows, rows)], same)
        return [frozenset(own[n] for n in group) for group in groups]

    def take(self, change: Change) -> None:
        drawings = change.drawings & self._place.keys()
        before, most = len(self._usual), len(self._most)
        if change.kind == "join":
            self._join(drawings)
        else:
            self._separate(drawings)
        self._unreadable = [each for each in self._unreadable if each["id"] not in self._grouped]
        # Fewer ideas never count for more in effect, nor more of them for less.
        firmer = max if len(self._usual) > before else min
        self._distinct = firmer(self._distinct, self._effective(self._usual))
        self._low = firmer(self._low, self._effective(self._fewest))
        self._high += len(self._most) - most

    @property
    def _grouped(self) -> Set[str]:
        return frozenset[str]().union(*self._usual)

    def _join(self, drawings: Set[str]) -> None:
        """A copy stands for the drawing that it is a copy of."""
        named = frozenset(self._first.get(pk, pk) for pk in drawings)
        if len(named) <= 1:  # one drawing is one idea already
            return
        whole = named.union(*(group for group in self._usual if group & named))
        self._usual = _joined(self._usual, whole)
        self._fewest = _joined(self._fewest, whole)
        self._most = _joined(self._most, whole)

    def _separate(self, drawings: Set[str]) -> None:
        for pk in drawings:
            mates = {self._first.pop(pk)} if pk in self._first else set()
            held = mates | {pk}
            mates = mates.union(*(group for group in self._usual if group & held))
            self._apart |= {pair for mate in mates - {pk} for pair in ((pk, mate), (mate, pk))}
        self._usual = _separated(self._usual, drawings)
        self._fewest = _separated(self._fewest, drawings)
        self._most = _separated(self._most, drawings)

    def _effective(self, groups: Groups) -> float:
        """The Vendi score over the first drawing of every group.

        What was told apart is not alike at all, nor is what could not be compared.
        """
        firsts = [min(group, key=self._place.__getitem__) for group in groups]
        table = np.eye(len(firsts))
        for n, one in enumerate(firsts):
            for m, other in enumerate(firsts):
                if n != m and one in self._row and other in self._row:
                    apart = (one, other) in self._apart
                    alike = self._similarity[self._row[one], self._row[other]]
                    table[n, m] = 0 if apart else alike
        return vendi_score(kernel(table)) if firsts else 0.0

    def told(self) -> dict[str, Any]:
        place = self._place.__getitem__
        groups = sorted(
            (sorted(group, key=place) for group in self._usual), key=lambda g: place(g[0])
        )
        copies = sorted(
            ([first, later] for later, first in self._first.items()), key=lambda c: place(c[1])
        )
        return {
            "groups": groups,
            "copies": copies,
            "unreadable": self._unreadable,
            "distinct": self._distinct,
            "low": min(self._low, self._distinct),
            "high": max(self._high, self._distinct),
        }


def _joined(groups: Groups, whole: frozenset[str]) -> Groups:
    touched = whole.union(*(group for group in groups if group & whole))
    return [*(group for group in groups if not group & whole), touched]


def _separated(groups: Groups, drawings: Set[str]) -> Groups:
    left = [rest for group in groups if (rest := group - drawings)]
    return [*left, *(frozenset({pk}) for pk in drawings)]
