"""Which firings are lit and how many of each group go into each: a mixed-integer programme.

Solved by HiGHS in stages, each of which holds what the stages before reached: pots that must go
left behind, late pots, pots out after their glaze day, pots left behind, firings, and last how full
the fullest firing is.

Work is bounded by nodes of the search tree and by a gap, HiGHS starts with the same seed each time,
and rows and columns stand in the order of the input: the same input gives the same answer with the
same release of HiGHS. What isn't so: another release may choose among plans that are as good, and
where a stage takes longer than `MOST_S` of the clock (one node of a large week can), the best so
far counts, so that a slower or busier machine may answer otherwise. Bounds hold in any case; they
may only be less sharp.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import chain
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
LARGE_FLOWS, LARGE_NODES, LARGE_GAP = 1500, 60, 0.005
"""A week with more classes by their starts is searched less far."""

MOST_S, MOST_PARTED_S = 10.0, 30.0
"""For one stage. A worker must say now and then that it lives."""

LIT_WHOLE = 3000
"""With more columns, parts of firings bound too: seconds instead of minutes, seldom less sharp."""

SOLVED = 0
"""The status by which SciPy says so."""

NEAR, EVEN_GAP = 1e-6, 0.02
ROUNDING = 1e-4
HALF = 0.5


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

    `limits` is what each start holds, what stands in it already with it. Each unit counts as the
    mean one of its group. `parted`: parts of units may go, which is quicker
    and bounds every choice of whole ones, but is none itself.
    """

    starts: Sequence[Start]
    groups: Sequence[Group]
    insides: Mapping[str, Inside]
    standing: Sequence[Sequence[Piece]]
    clashes: Sequence[Sequence[int]]
    limits: Sequence[Fill]
    parted: bool
    each_stage: Callable[[], None]
    flows: list[tuple[int, int]] = field(init=False)

    def __post_init__(self) -> None:
        self.flows = [(s, g) for g, group in enumerate(self.groups) for s in group.starts]
        self._column = {flow: len(self.starts) + n for n, flow in enumerate(self.flows)}
        self._fullest = len(self.starts) + len(self.flows)
        into: dict[int, list[int]] = {s: [] for s in range(len(self.starts))}
        for start, group in self.flows:
            into[start].append(group)
        self._into = into
        self._always = _Search([], [])
        for row, upper in chain(self._counts(), self._rooms(), self._apart()):
            self._always.add(row, upper)

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
        return sum(each) / len(each)

    def solved(self) -> Choice:
        found = self._at_best() or self._by_stages()
        if self.flows and not self.parted:
            lit = found.columns[: len(self.starts)].round()
            even = self._solution({self._fullest: 1.0}, found.search, BALANCE_NODES, lit)
            better = found.columns if even.columns is None else even.columns
            found = replace(found, columns=better)
        return self._choice(found)

    def _at_best(self) -> "_Reached | None":
        """Every stage but the firings at what no plan comes below, as in most weeks."""
        search = self._always.copy()
        least = [self._least(stage) for stage in STAGES[:-1]]
        for stage, value in zip(STAGES, least, strict=False):
            row, more = self._stage(stage)
            search.add(row, value - more + self._slack)
        for row, upper in self._covers():
            search.add(row, upper)
        found = self._solution(self._stage("firings")[0], search, NODES)
        if found.columns is None:
            return None
        firings = round(float(found.columns[: len(self.starts)].sum()))
        values = (*least, firings)
        bounds = (*least, min(firings, ceil(found.bound - ROUNDING)))
        return _Reached(found.columns, search, values, bounds)

    def _by_stages(self) -> "_Reached":
        search = self._always.copy()
        columns = self._nothing()
        values, bounds = [], []
        for stage in STAGES:
            row, more = self._stage(stage)
            cost = self._dense(row)
            found = self._solution(row, search, NODES)
            if found.columns is not None and cost @ found.columns < cost @ columns:
                columns = found.columns
            bound = max(ceil(found.bound + more - ROUNDING), 0)
            reached = round(float(cost @ columns) + more)
            # Parts of units reach what whole ones may not: the next stage bounds what is as good.
            values.append(bound if self.parted else reached)
            bounds.append(min(values[-1], bound))
            search.add(row, values[-1] - more + self._slack)
        return _Reached(columns, search, tuple(values), tuple(bounds))

    @property
    def _slack(self) -> float:
        """Counts are whole but for parts of units."""
        return ROUNDING if self.parted else HALF

    def _least(self, stage: str) -> int:
        """What no plan comes below, each unit by itself."""
        counted = ((group, *_counted(group, stage)) for group in self.groups)
        return sum(len(group.units) * min(left, *lit) for group, lit, left in counted)

    def _covers(self) -> Iterator[tuple[Row, float]]:
        """Where nothing is left behind: pots that only go into some of the starts need so many of
        them at least, by their room and by the shelves of tall ones. It spares most of the search.
        """
        for some in sorted({group.starts for group in self.groups}):
            inner = [g for g, group in enumerate(self.groups) if set(group.starts) <= set(some)]
            kilns = {self.starts[s].kiln for s in some}
            deep = max(self._most_layers(self.insides[kiln], inner) for kiln in kilns)
            need = [self._starts_for(inner, layers) for layers in (None, *range(1, deep + 1))]
            yield dict.fromkeys(some, -1.0), -float(ceil(max(need) - ROUNDING))

    def _starts_for(self, groups: Sequence[int], layers: int | None) -> float:
        """How many starts the groups fill, each in the kiln of which it takes the least share."""
        filled = 0.0
        for g in groups:
            share = min(
                self._size(g, self.insides[self.starts[s].kiln], layers)
                / (self.limits[s].volume if layers is None else layers * self.limits[s].area)
                for s in self.groups[g].starts
            )
            filled += len(self.groups[g].units) * share
        return filled

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

    def _solution(
        self, cost: Row, search: "_Search", nodes: int, lit: Floats | None = None
    ) -> "_Solution":
        """The columns, None where none were found, and a bound from below."""
        lower, most = self._ranges(lit)
        if not cost:
            return _Solution(None, 0.0)
        self.each_stage()
        large = len(self.flows) > LARGE_FLOWS
        whole = np.ones(len(most), int)
        if self.parted:
            whole[0 if len(self.flows) > LIT_WHOLE else len(self.starts) :] = 0
        whole[self._fullest] = 0
        found = milp(
            self._dense(cost),
            integrality=whole,
            bounds=Bounds(lower, most),
            constraints=LinearConstraint(self._matrix(search.rows), -np.inf, search.upper),
            options={
                "node_limit": min(nodes, LARGE_NODES) if large else nodes,
                "time_limit": MOST_PARTED_S if self.parted else MOST_S,
                "mip_rel_gap": EVEN_GAP if lit is not None else LARGE_GAP if large else NEAR,
            },
        )
        # A linear programme has no such bound: where it was solved, its own value is one.
        bound = getattr(found, "mip_dual_bound", None)
        if bound is None and found.status == SOLVED:
            bound = found.fun
        low = float(self._dense(cost) @ np.where(self._dense(cost) < 0, most, lower))
        columns = found.x
        if columns is not None and not self.parted:
            columns = np.append(columns[:-1].round(), columns[-1])
        return _Solution(columns, low if bound is None else float(bound))

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

    def _dense(self, row: Row) -> Floats:
        columns = np.zeros(self._fullest + 1)
        columns[list(row)] = list(row.values())
        return columns

    def _matrix(self, rows: Sequence[Row]) -> csr_array:
        at = [(n, column, value) for n, row in enumerate(rows) for column, value in row.items()]
        lines, columns, values = zip(*at, strict=True) if at else ((), (), ())
        return csr_array((values, (lines, columns)), shape=(len(rows), self._fullest + 1))

    def _choice(self, found: "_Reached") -> Choice:
        flows = {flow: round(found.columns[self._column[flow]]) for flow in self.flows}
        lit = frozenset(s for s in range(len(self.starts)) if found.columns[s] > HALF)
        return Choice({flow: n for flow, n in flows.items() if n}, lit, found.values, found.bounds)


@dataclass
class _Search:
    """Rows that are no more than `upper`."""

    rows: list[Row]
    upper: list[float]

    def add(self, row: Row, upper: float) -> None:
        self.rows.append(row)
        self.upper.append(upper)

    def copy(self) -> "_Search":
        return _Search(list(self.rows), list(self.upper))


@dataclass(frozen=True)
class _Solution:
    columns: Floats | None
    bound: float


@dataclass(frozen=True)
class _Reached:
    columns: Floats
    search: _Search
    values: tuple[int, ...]
    bounds: tuple[int, ...]


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
