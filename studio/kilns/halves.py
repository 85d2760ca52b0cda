"""A load in a kiln that has half shelves too. Pure.

A half shelf is cut along the middle line of the kiln. Half shelves stand in two columns on the
last whole shelf, left and right, so that tall pots on one side ask no height of the other. A
column is packed as a kiln of its own: its lowest layer is its half of the last whole shelf.
"""

from collections.abc import Iterable, Iterator, Sequence, Set
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice
from math import ceil

from .furnished import (
    TRIES,
    Furnished,
    Stock,
    furnished,
    lowest_left_mm,
    need_mm,
    posts_left,
    stack_mm,
)
from .packing.inputs import Furniture, Layer, Piece, Side
from .packing.load import place_into, why_hopeless
from .packing.parts import SIDES, column, columns, parted, posts_in
from .packing.room import Room
from .packing.tolerances import FILLING_PAIRS, SAME_MM

LAYOUTS, FEW_LAYOUTS = 12, 3
"""Ways of cutting a load that are tried in haste, before the best of them is packed as well as can
be: for a person who waits for one load; for a plan of many."""


STOREYS = (2, 3)
"""Pots of which not so many layers fit above each other are offered to one side, lower ones to the
other."""

FRONT = 1 / 6
"""Of the pots that whole shelves take, the most urgent are never given for others."""

HOPELESS = {"taller_than_kiln", "wider_than_shelf"}


def laid_out(
    furniture: Furniture,
    stock: Stock,
    pieces: Sequence[Piece],
    layers: Sequence[Layer] = (),
    fullest: bool = False,
    *,
    layouts: int = LAYOUTS,
) -> Furnished:
    """As `furnished`, with half shelves where whole ones leave pots out.

    The most pots win, then the most urgent, then the lowest load; where the `fullest` is asked,
    those that cover most. What stands never moves, and a load that has half layers gets no more
    whole ones. `layouts` bounds the effort. Raises KilnRefused.
    """
    load = _Load(furniture, stock, tuple(pieces), tuple(layers), fullest)
    best = load.on_whole_shelves
    if not load.may_be_cut or set(best.left_out.values()) <= HOPELESS:
        return best
    tried = [(load.dealt(way), way) for way in islice(load.ways(), layouts)]
    found, way = min(tried, key=lambda each: load.worth(each[0]))
    return min(best, found, load.dealt(way, thorough=True), key=load.worth)


def with_new_half(
    furniture: Furniture,
    stock: Stock,
    layers: Sequence[Layer],
    pieces: Sequence[Piece],
    side: Side,
) -> tuple[Layer, ...] | None:
    """With an empty half layer on top of one side; what was open there gets the lowest posts left
    that clear its pots. None where no half shelf is left, or no such posts. `layers` aren't empty.
    """
    if parted(layers).halves >= stock.half_shelves:
        return None
    known = {each.id: each for each in pieces}
    cut = _Cut.of(layers, known, furniture.clearance_mm)
    *below, top = cut.on(side)
    tall = {each.id: each.height_mm for each in pieces}
    left = posts_left(stock, posts_in(layers))
    post_mm = lowest_left_mm(left, need_mm(top, tall, furniture))
    if post_mm is None:
        return None
    return cut.with_(side, (*below, replace(top, post_mm=post_mm), Layer(None))).layers


def heights_mm(
    furniture: Furniture, layers: Sequence[Layer], pieces: Sequence[Piece]
) -> tuple[float, ...]:
    """How high shelves, posts and the pots on top reach, headroom included: of a load with half
    layers on the left and on the right, else once."""
    known = {each.id: each for each in pieces}
    tall = {each.id: each.height_mm for each in pieces}
    found = columns(layers, known, furniture.clearance_mm)
    return tuple(stack_mm(furniture, each, tall) for each in found)


@dataclass(frozen=True)
class _Cut:
    """A load along its middle line. The lowest layer of each column is its half of the last whole
    layer; a column that nothing is known of is empty."""

    below: tuple[Layer, ...]
    left: tuple[Layer, ...] = ()
    right: tuple[Layer, ...] = ()

    @classmethod
    def of(cls, layers: Sequence[Layer], known: dict[str, Piece], clearance_mm: float) -> "_Cut":
        below = parted(layers).whole[:-1]
        sides = (column(layers, side, known, clearance_mm)[len(below) :] for side in SIDES)
        return cls(below, *sides)

    def on(self, side: Side) -> tuple[Layer, ...]:
        return self.left if side == "left" else self.right

    def with_(self, side: Side, found: tuple[Layer, ...]) -> "_Cut":
        return replace(self, left=found) if side == "left" else replace(self, right=found)

    @property
    def layers(self) -> tuple[Layer, ...]:
        """In the order of a load."""
        left, right = self.left or (Layer(None),), self.right or (Layer(None),)
        # A pot across the middle line stands in both.
        stood = {each.id: each for each in (*left[0].placements, *right[0].placements)}
        last = Layer(left[0].post_mm, tuple(stood.values()), "whole", right[0].post_mm)
        return (
            *self.below,
            last,
            *(replace(each, part="left") for each in left[1:]),
            *(replace(each, part="right") for each in right[1:]),
        )


@dataclass(frozen=True)
class _Way:
    """What stays as it is, and which pots are offered to a side one after the other."""

    begun: _Cut
    offers: Sequence[tuple[Side, Sequence[Piece]]]


@dataclass(frozen=True)
class _Load:
    """What is asked: pieces the most urgent first, and layers that stand."""

    furniture: Furniture
    stock: Stock
    pieces: tuple[Piece, ...]
    standing: tuple[Layer, ...]
    fullest: bool

    @property
    def has_halves(self) -> bool:
        return parted(self.standing).halves > 0

    @property
    def may_be_cut(self) -> bool:
        return self.has_halves or self.stock.half_shelves > 0

    @cached_property
    def known(self) -> dict[str, Piece]:
        return {each.id: each for each in self.pieces}

    @cached_property
    def on_whole_shelves(self) -> Furnished:
        """Without more half layers than stand already."""
        if not self.has_halves:
            return furnished(self.furniture, self.stock, self.pieces, self.standing, self.fullest)
        room, stood = Room(self.furniture), _ids(self.standing)
        waiting = [each for each in self.pieces if each.id not in stood]
        why = {each.id: why_hopeless(room, each) or "no_room" for each in waiting}
        layers = self._filled_below(waiting) if waiting else self.standing
        stood = _ids(layers)
        return Furnished(
            layers, {each: reason for each, reason in why.items() if each not in stood}
        )

    def _filled_below(self, waiting: Sequence[Piece]) -> tuple[Layer, ...]:
        """What finds a place on the whole layers without changing anything of the half ones."""
        found = parted(self.standing)
        last = found.whole[-1]
        lower_mm = min(posts_in([last]))
        closed = (*found.whole[:-1], replace(last, post_mm=lower_mm, right_post_mm=None))
        here = _ids(closed)
        whole = place_into(
            # Of this height no layer can be added.
            replace(
                self.furniture,
                posts_mm=(),
                usable_height_mm=_below_mm(self.furniture, closed),
            ),
            [*(each for each in self.pieces if each.id in here), *waiting],
            closed,
            tries=TRIES,
        ).layers
        filled = replace(last, placements=whole[-1].placements)
        return (*whole[:-1], filled, *found.left, *found.right)

    def worth(self, found: Furnished) -> tuple[float, ...]:
        """Less is better."""
        high_mm = max(heights_mm(self.furniture, found.layers, self.pieces), default=0.0)
        if self.fullest:
            placed = [each for each in self.pieces if each.id not in found.left_out]
            covered = sum(map(self._room.piece_area_mm2, placed))
            return len(self._front & set(found.left_out)), -covered, high_mm
        lost = sum(len(self.pieces) - self._rank[each] for each in found.left_out)
        return len(found.left_out), lost, high_mm

    @cached_property
    def _rank(self) -> dict[str, int]:
        return {each.id: place for place, each in enumerate(self.pieces)}

    @cached_property
    def _room(self) -> Room:
        return Room(self.furniture)

    @cached_property
    def _front(self) -> set[str]:
        if not self.fullest:
            return set()
        stood, left = _ids(self.standing), self.on_whole_shelves.left_out
        placed = [each.id for each in self.pieces if each.id not in stood and each.id not in left]
        return set(placed[: ceil(len(placed) * FRONT)])

    def ways(self) -> Iterator[_Way]:
        """How the load may be cut, the least changed first."""
        hopeless = {each for each, why in self.on_whole_shelves.left_out.items() if why in HOPELESS}
        for begun in self._begun():
            stood = _ids(begun.layers) | hopeless
            waiting = [each for each in self.pieces if each.id not in stood]
            for offers in self._offers(begun, waiting):
                yield _Way(begun, offers)

    def _begun(self) -> Iterator[_Cut]:
        """What stays of the load on whole shelves: the lower ones, and what stands on the last of
        them or nothing there."""
        layers, gap_mm = self.on_whole_shelves.layers, self.furniture.clearance_mm
        if self.has_halves:
            yield _Cut.of(layers, self.known, gap_mm)
            return
        for count in reversed(range(max(len(self.standing) - 1, 0), len(layers))):
            open_mm = replace(layers[count], post_mm=None)
            yield _Cut.of((*layers[:count], open_mm), self.known, gap_mm)
            if count >= len(self.standing):
                yield _Cut(layers[:count])

    def _offers(
        self, begun: _Cut, waiting: Sequence[Piece]
    ) -> Iterator[list[tuple[Side, Sequence[Piece]]]]:
        """Everything to one side, then to the other; or tall pots to one side and low ones to the
        other first. The most urgent before all. Where pots stand already it matters which side is
        which."""
        ends = [SIDES, SIDES[::-1]] if begun.left or begun.right else [SIDES]
        free_mm = self.furniture.usable_height_mm - _below_mm(self.furniture, begun.below)
        besides_mm = self.furniture.shelf_thickness_mm + self.furniture.headroom_mm
        front = [each for each in waiting if each.id in self._front]
        for one, other in ends:
            yield [(one, front), (other, front), (one, waiting), (other, waiting)]
        for storeys in STOREYS:
            tall = [x for x in waiting if (x.height_mm + besides_mm) * storeys > free_mm + SAME_MM]
            low = _without(waiting, {each.id for each in tall})
            if tall and low:
                first = [each for each in tall if each in front]
                second = [each for each in low if each in front]
                for one, other in ends:
                    urgent = [(one, first), (other, second), (one, front), (other, front)]
                    yield [*urgent, (one, tall), (other, low), (one, waiting), (other, waiting)]

    def dealt(self, way: _Way, *, thorough: bool = False) -> Furnished:
        """The load cut in one way: in haste, or as well as can be."""
        cut = way.begun
        for side, offered in way.offers:
            cut = self._packed(cut, side, _without(offered, _ids(cut.layers)), thorough)
        left = self.on_whole_shelves.left_out
        gone = _without(self.pieces, _ids(cut.layers))
        return Furnished(cut.layers, {each.id: left.get(each.id, "no_room") for each in gone})

    def _packed(self, cut: _Cut, side: Side, offered: Sequence[Piece], thorough: bool) -> _Cut:
        """With what finds a place on one side."""
        stands, beside = cut.on(side), cut.on(SIDES[side == "left"])
        free_mm = self.furniture.usable_height_mm - _below_mm(self.furniture, cut.below)
        if not offered or free_mm <= 0:
            return cut
        half = replace(self.furniture.shelf, part=side)
        shelves = 1 + max(self.stock.half_shelves - max(len(beside) - 1, 0), len(stands) - 1)
        posts = posts_left(self.stock, posts_in((*cut.below, *beside)))
        here = _ids(stands) | {each.id for each in offered}
        found = furnished(
            replace(self.furniture, shelf=half, usable_height_mm=free_mm),
            Stock(shelves, tuple(posts)),
            [each for each in self.pieces if each.id in here],
            stands,
            self.fullest,
            tries=TRIES if thorough else 1,
            pairs=FILLING_PAIRS // (4 if thorough else 20),
        )
        return cut.with_(side, found.layers)


def _ids(layers: Iterable[Layer]) -> set[str]:
    return {each.id for layer in layers for each in layer.placements}


def _without(pieces: Iterable[Piece], names: Set[str]) -> list[Piece]:
    return [each for each in pieces if each.id not in names]


def _below_mm(furniture: Furniture, layers: Iterable[Layer]) -> float:
    """How high layers with posts on each reach."""
    return sum(furniture.shelf_thickness_mm + (each.post_mm or 0.0) for each in layers)
