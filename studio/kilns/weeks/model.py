"""Which firings are lit and how many of each group go into each: a mixed-integer programme.

Solved by HiGHS in stages, each of which holds what the stages before reached: pots that must go
left behind, late pots, pots out after their glaze day, pots left behind, firings, and last how full
the fullest firing is. Work is bounded by nodes of the search tree, so the answer doesn't depend on
the clock.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import ceil

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from studio.kilns.packing.inputs import Piece

from .groups import Group
from .inputs import Start
from .inside import Inside
from .trials import Fill

Floats = NDArray[np.float64]
Row = dict[int, float]

STAGES = ("must_go_left", "late", "after_glaze_day", "left_out", "firings")
NODES = 400
BALANCE_NODES = 40
NEAR = 1e-6


@dataclass(frozen=True)
class Limits:
    """What a start holds: of the room, and of each shelf, less what stands in it already."""

    volume: float
    area: float


@dataclass(frozen=True)
class Choice:
    """`flows` are units by (start, place of the group); `reached` what each stage came to and
    `bounds` what no other choice within the limits comes below."""

    flows: Mapping[tuple[int, int], int]
    open: frozenset[int]
    reached: tuple[int, ...]
    bounds: tuple[int, ...]


@dataclass(eq=False)
class Model:
    """Rows and columns: a start is lit (0 or 1), units of a group in a start, the fullest share.

    `least`: each unit counts as the smallest of its group, so that what comes out bounds every
    plan; else as the mean one.
    """

    starts: Sequence[Start]
    groups: Sequence[Group]
    insides: Mapping[str, Inside]
    standing: Sequence[Sequence[Piece]]
    clashes: Sequence[Sequence[int]]
    limits: Sequence[Limits]
    least: bool = False
    flows: list[tuple[int, int]] = field(init=False)
    _rows: list[Row] = field(init=False, default_factory=list)
    _upper: list[float] = field(init=False, default_factory=list)

    def __post_init__(self) -> None:
        self.flows = [(s, g) for g, group in enumerate(self.groups) for s in group.starts]
        self._column = {flow: len(self.starts) + n for n, flow in enumerate(self.flows)}
        self._fullest = len(self.starts) + len(self.flows)
        into: dict[int, list[int]] = {s: [] for s in range(len(self.starts))}
        for start, group in self.flows:
            into[start].append(group)
        self._into = into
        for rows in (self._counts(), self._rooms(), self._apart()):
            for row, upper in rows:
                self._rows.append(row)
                self._upper.append(upper)

    def _counts(self) -> Iterator[tuple[Row, float]]:
        for g, group in enumerate(self.groups):
            yield {self._column[s, g]: 1.0 for s in group.starts}, float(len(group.units))

    def _apart(self) -> Iterator[tuple[Row, float]]:
        """Kept firings are lit even where they are in each other's way."""
        for clash in self.clashes:
            kept = any(self.starts[n].kept for n in clash)
            free = [n for n in clash if not self.starts[n].kept]
            yield dict.fromkeys(free, 1.0), 0.0 if kept else 1.0

    def _rooms(self) -> Iterator[tuple[Row, float]]:
        for s, start in enumerate(self.starts):
            inside, limit = self.insides[start.kiln], self.limits[s]
            there, into = self.standing[s], self._into[s]
            volume = {g: self._size(g, inside, None) for g in into}
            filled = inside.filled(there)
            room = max(limit.volume - filled, 0.0)
            yield self._room(s, volume, room)
            fullest = {self._column[s, g]: volume[g] for g in into}
            yield fullest | {self._fullest: -limit.volume}, -filled
            for g in into:
                most = min(len(self.groups[g].units), _most(room, volume[g]))
                yield {self._column[s, g]: 1.0, s: -float(most)}, 0.0
            for layers in range(1, self._most_layers(inside, into) + 1):
                area = {g: self._size(g, inside, layers) for g in into}
                stood = sum(
                    share.area for share in map(inside.share, there) if share.layers <= layers
                )
                yield self._room(s, area, max(layers * limit.area - stood, 0.0))

    def _room(self, start: int, size: Mapping[int, float], room: float) -> tuple[Row, float]:
        row = {self._column[start, g]: share for g, share in size.items() if share}
        return row | {start: -room}, 0.0

    def _most_layers(self, inside: Inside, into: Sequence[int]) -> int:
        """Beyond it the shares of room say as much."""
        layers = [
            inside.share(piece).layers for g in into for piece in self.groups[g].units[0].pieces
        ]
        return max(layers, default=0)

    def _size(self, group: int, inside: Inside, layers: int | None) -> float:
        """Of one unit: the share of the room, or of shelves for pots so tall that no more than
        `layers` of them fit above each other."""
        each = [_taken(inside, unit.pieces, layers) for unit in self.groups[group].units]
        return min(each) if self.least else sum(each) / len(each)

    def solved(self, balance: bool = True) -> Choice:
        reached, bounds = [], []
        rows, upper = list(self._rows), list(self._upper)
        last = self._nothing()
        for stage in STAGES:
            row, more = self._stage(stage)
            found, bound = self._best(row, rows, upper, last, NODES)
            value = round(float(self._dense(row) @ found) + more)
            reached.append(value)
            bounds.append(min(value, ceil(bound + more - 1e-4)))
            rows.append(row)
            upper.append(value - more + 0.1)
            last = found
        if balance and self.flows:
            lit = last[: len(self.starts)].round()
            last = self._best({self._fullest: 1.0}, rows, upper, last, BALANCE_NODES, lit)[0]
        return self._choice(last, tuple(reached), tuple(bounds))

    def _stage(self, stage: str) -> tuple[Row, float]:
        """What is to be kept small: by column, and what is added to it."""
        if stage == "firings":
            return dict.fromkeys(range(len(self.starts)), 1.0), 0.0
        row: Row = {}
        more = 0.0
        for g, group in enumerate(self.groups):
            lit, left = _counted(group, stage)
            more += left * len(group.units)
            for s, each in zip(group.starts, lit, strict=True):
                if each != left:
                    row[self._column[s, g]] = float(each - left)
        return row, more

    def _best(
        self,
        cost: Row,
        rows: Sequence[Row],
        upper: Sequence[float],
        last: Floats,
        nodes: int,
        lit: Floats | None = None,
    ) -> tuple[Floats, float]:
        """The columns and a bound from below; what was there before where nothing is to gain."""
        if not cost:
            return last, 0.0
        lower, most = self._ranges(lit)
        whole = np.ones(len(most))
        whole[self._fullest] = 0
        found = milp(
            self._dense(cost),
            integrality=whole,
            bounds=Bounds(lower, most),
            constraints=LinearConstraint(self._matrix(rows), -np.inf, np.array(upper)),
            options={"node_limit": nodes, "mip_rel_gap": NEAR if lit is None else 0.02},
        )
        bound = getattr(found, "mip_dual_bound", None)
        low = float(self._dense(cost) @ lower) if bound is None else float(bound)
        if found.x is None or self._dense(cost) @ found.x > self._dense(cost) @ last - NEAR:
            return last, low
        return self._whole(found.x), low

    def _ranges(self, lit: Floats | None) -> tuple[Floats, Floats]:
        lower = np.zeros(self._fullest + 1)
        most = np.ones(self._fullest + 1)
        for n, (_s, g) in enumerate(self.flows):
            most[len(self.starts) + n] = len(self.groups[g].units)
        most[self._fullest] = 1e3
        for s, start in enumerate(self.starts):
            lower[s] = float(start.kept)
        if lit is not None:
            lower[: len(self.starts)] = most[: len(self.starts)] = lit
        return lower, most

    def _nothing(self) -> Floats:
        """Only what is kept is lit, and nothing more goes in."""
        columns = np.zeros(self._fullest + 1)
        columns[: len(self.starts)] = [float(each.kept) for each in self.starts]
        columns[self._fullest] = 1e3
        return columns

    def _whole(self, columns: Floats) -> Floats:
        return np.append(columns[:-1].round(), columns[-1])

    def _dense(self, row: Row) -> Floats:
        columns = np.zeros(self._fullest + 1)
        columns[list(row)] = list(row.values())
        return columns

    def _matrix(self, rows: Sequence[Row]) -> csr_array:
        at = [(n, column, value) for n, row in enumerate(rows) for column, value in row.items()]
        lines, columns, values = zip(*at, strict=True) if at else ((), (), ())
        return csr_array((values, (lines, columns)), shape=(len(rows), self._fullest + 1))

    def _choice(self, columns: Floats, reached: tuple[int, ...], bounds: tuple[int, ...]) -> Choice:
        flows = {flow: round(columns[self._column[flow]]) for flow in self.flows}
        lit = frozenset(s for s in range(len(self.starts)) if columns[s] > 1 / 2)
        return Choice({flow: n for flow, n in flows.items() if n}, lit, reached, bounds)


def limits_of(start: Start, fills: Mapping[str, Fill]) -> Limits:
    fill = fills[start.kiln]
    return Limits(fill.volume, fill.area)


def _counted(group: Group, stage: str) -> tuple[Sequence[int], int]:
    """By start how many pots of a unit count, and how many when it is left behind."""
    nothing = (0,) * len(group.starts)
    if stage == "must_go_left":
        return nothing, group.pots if group.must_go else 0
    if stage == "late":
        return group.late, group.late_when_left
    if stage == "after_glaze_day":
        return group.after_glaze_day, group.after_glaze_day_when_left
    return nothing, group.pots


def _most(room: float, size: float) -> int:
    return int((room + NEAR) / size)


def _taken(inside: Inside, pieces: Sequence[Piece], layers: int | None) -> float:
    shares = map(inside.share, pieces)
    if layers is None:
        return sum(each.volume for each in shares)
    return sum(each.area for each in shares if each.layers <= layers)
