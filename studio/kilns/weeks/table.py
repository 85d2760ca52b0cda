"""All that a week's plans are made and judged with."""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from studio.kilns.packing.inputs import Piece

from .answer import Answer, Bound, Firing, Score
from .groups import Group, exact_groups, groups_of
from .inputs import Week
from .inside import Inside
from .loads import Packed, Packer
from .model import Model
from .reasons import left_out
from .starts import clashes
from .trials import Fill, Learned, learned
from .units import Unit, units_of

FEW = 60
"""So many units, or fewer, are dealt as the bound by area and height has them, too: where it packs,
nothing better can be."""

Plan = dict[int, Packed]
"""By start that is lit: its load."""


@dataclass(eq=False)
class Table:
    """A week, its pots as units (the most urgent first), and what the kilns hold."""

    week: Week
    insides: Mapping[str, Inside]
    standing: Sequence[Sequence[Piece]]
    units: Sequence[Unit]
    fills: Mapping[str, Learned]
    each_load: Callable[[int], None]

    @classmethod
    def laid(cls, week: Week, each_load: Callable[[int], None]) -> "Table":
        insides = {kiln.id: Inside(kiln) for kiln in week.kilns}
        pieces = {each.id: each.piece for each in week.pots}
        standing = [[pieces[name] for name in start.standing] for start in week.starts]
        units = units_of(week, insides)
        units.sort(key=lambda each: (not each.must_go, -each.late_when_left(week.until)))
        fills = {
            name: learned(inside, _goes(week, units, name, inside))
            for name, inside in insides.items()
        }
        each_load(len(fills))
        return cls(week, insides, standing, units, fills, each_load)

    @cached_property
    def groups(self) -> list[Group]:
        return groups_of(self.units, self.week, self.insides)

    @cached_property
    def exact_groups(self) -> list[Group]:
        return exact_groups(self.units, self.week)

    @property
    def few(self) -> bool:
        return len(self.units) <= FEW

    def grouped(self, groups: Iterable[Group]) -> list[list[int]]:
        """Their units by place."""
        place = {id(unit): u for u, unit in enumerate(self.units)}
        return [[place[id(unit)] for unit in group.units] for group in groups]

    @cached_property
    def clashes(self) -> list[tuple[int, ...]]:
        return clashes(self.week.kilns, self.week.starts)

    @cached_property
    def packer(self) -> Packer:
        return Packer(self.week.starts, self.standing, self.insides, self.units, self.each_load)

    @cached_property
    def kept(self) -> frozenset[int]:
        return frozenset(s for s, start in enumerate(self.week.starts) if start.kept)

    def limits(self, fills: Mapping[str, Fill]) -> list[Fill]:
        """By start."""
        return [fills[start.kiln] for start in self.week.starts]

    def model(self, limits: Sequence[Fill]) -> Model:
        return self._model(self.groups, limits)

    def bounding(self, fills: Mapping[str, Fill]) -> Model:
        """Bounds every plan whose loads get no fuller; a choice itself where pots are few."""
        return self._model(self.exact_groups, self.limits(fills), parted=not self.few)

    def _model(
        self, groups: Sequence[Group], limits: Sequence[Fill], *, parted: bool = False
    ) -> Model:
        return Model(
            self.week.starts,
            groups,
            self.insides,
            self.standing,
            self.clashes,
            limits,
            parted,
            lambda: self.each_load(self.packer.packs),
        )

    def may_light(self, start: int, lit: Collection[int]) -> bool:
        """Whether no firing that is lit is in its way."""
        others = set(lit) - {start}
        return start in lit or not any(
            start in clash and others.intersection(clash) for clash in self.clashes
        )

    def left(self, plan: Plan) -> list[int]:
        """Units that could go and don't."""
        gone = {u for load in plan.values() for u in load.stood}
        return [u for u, unit in enumerate(self.units) if unit.starts and u not in gone]

    def room_left(self, start: int, load: Packed) -> float:
        """As far as the best trial load got."""
        return max(self.most(start) - self.packer.filled(start, load.stood), 0.0)

    def most(self, start: int) -> float:
        """So full the best of the trial loads got."""
        return self.fills[self.week.starts[start].kiln].best.volume

    def score(self, plan: Plan) -> Score:
        at = {u: s for s, load in plan.items() for u in load.stood}
        must = late = day = left = 0
        for u, unit in enumerate(self.units):
            if u in at:
                out = self.week.starts[at[u]].unload_at
                late += unit.late(out)
                day += unit.after_glaze_day(out)
            elif unit.starts:
                must += len(unit.pots) if unit.must_go else 0
                late += unit.late_when_left(self.week.until)
                day += unit.after_glaze_day_when_left(self.week.until)
                left += len(unit.pots)
        fullest = max((self.packer.filled(s, load.stood) for s, load in plan.items()), default=0.0)
        return Score(must, late, day, left, len(plan), round(fullest, 3))

    def answer(
        self,
        plan: Plan,
        *,
        usual: Sequence[int],
        calibrated: Sequence[int],
        area_height: Sequence[int],
    ) -> Answer:
        week = self.week
        at = {u: s for s, load in plan.items() for u in load.stood}
        out_at = {u: week.starts[s].unload_at for u, s in at.items()}
        gone = [(pot, out_at[u]) for u in sorted(at) for pot in self.units[u].pots]
        return Answer(
            tuple(self._firing(s, load) for s, load in sorted(plan.items(), key=self._order)),
            tuple(
                each
                for u, unit in enumerate(self.units)
                if u not in at
                for each in left_out(
                    unit, week, self.insides, self._unlit(unit, plan), self._free(unit, plan)
                )
            ),
            tuple(pot.id for pot, out in gone if pot.is_late(out)),
            tuple(pot.id for pot, out in gone if pot.is_after_glaze_day(out)),
            self.score(plan),
            Bound(*usual),
            Bound(*calibrated),
            Bound(*area_height),
        )

    def _unlit(self, unit: Unit, plan: Plan) -> list[int]:
        return [s for s in unit.starts if s not in plan]

    def _free(self, unit: Unit, plan: Plan) -> bool:
        """Whether a start that suits it could be lit."""
        return any(self.may_light(s, plan) for s in self._unlit(unit, plan))

    def _order(self, entry: tuple[int, Packed]) -> tuple[object, ...]:
        start = self.week.starts[entry[0]]
        return start.lit_at, start.kiln

    def _firing(self, s: int, load: Packed) -> Firing:
        start = self.week.starts[s]
        pots = [pot.id for u in load.stood for pot in self.units[u].pots]
        names = (*(each.id for each in self.standing[s]), *pots)
        return Firing(start, load.layers, names)


def _goes(week: Week, units: Sequence[Unit], kiln: str, inside: Inside) -> list[Piece]:
    """What may stand in a kiln this week: from it the kiln's trial loads are drawn."""
    here = {s for s, start in enumerate(week.starts) if start.kiln == kiln}
    pieces = [piece for unit in units if here & set(unit.starts) for piece in unit.pieces]
    return [each for each in pieces if inside.takes([each])]
