"""One attempt at a load: pots laid one after the other, each at the best corner that is free."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, NamedTuple

import numpy as np

from .contact import Fit, Obstacles, border, corners
from .inputs import Layer, Piece, Placement
from .room import Room
from .shapes import Floats
from .stack import Stack, Standing, stack
from .tolerances import NO_AREA

ELLIPSES = {"round", "oval"}

_BY_WALL = 0.05
"""How much of a millimetre nearer the wall is worth against one of snugness."""


@dataclass(frozen=True)
class Way:
    """Which corner is best: the snuggest, the nearest to the wall, or the farthest along a
    direction."""

    kind: Literal["snug", "wall", "along"]
    x: float = 0.0
    y: float = 0.0

    @classmethod
    def number(cls, n: int, dice: np.random.Generator) -> "Way":
        """The way of the nth attempt."""
        if n % 3 == 2:  # noqa: PLR2004 -- the three kinds take turns
            angle = dice.uniform(0, 2 * np.pi)
            return cls("along", float(np.cos(angle)), float(np.sin(angle)))
        return cls("snug" if n % 3 == 0 else "wall")

    def cost(self, at: Floats, left: Floats) -> Floats:
        """What each place (m, 2) with the room left there (m, c) costs; the least is best.

        A corner touches two things; how near the third is says how snug it is.
        """
        third = min(2, left.shape[1] - 1)
        snug = np.partition(left, third, axis=1)[:, third]
        inward = -np.hypot(at[:, 0], at[:, 1])
        match self.kind:
            case "snug":
                return np.asarray(snug + _BY_WALL * inward)
            case "wall":
                return np.asarray(inward + _BY_WALL * snug)
        return np.asarray(-(at @ (self.x, self.y)) + _BY_WALL * snug)


class Laid(NamedTuple):
    """A pot at a turn and a place (2,), laid in this load: it may still be moved."""

    piece: Piece
    fit: Fit
    at: Floats


@dataclass(eq=False)
class Shelfful:
    """One layer while it fills. `standing` holds what may not move, `laid` what was laid now."""

    post_mm: float | None
    fixed: tuple[Placement, ...]
    standing: Obstacles
    need_mm: float
    area_mm2: float
    fixed_need_mm: float = 0.0
    laid: list[Laid] = field(default_factory=list)
    refused: list[Piece] = field(default_factory=list)

    @property
    def placements(self) -> tuple[Placement, ...]:
        laid = (
            Placement(piece.id, float(at[0]), float(at[1]), fitted.turn_deg)
            for piece, fitted, at in self.laid
        )
        return (*self.fixed, *laid)

    @property
    def obstacles(self) -> Obstacles:
        all_of = self.standing
        for _, fitted, at in self.laid:
            all_of = all_of.and_one(at, fitted.radius_mm, fitted.support)
        return all_of


@dataclass(eq=False)
class Attempt:
    """Shelves from the bottom up: first the `old` ones that stood before, then new ones."""

    room: Room
    pieces: tuple[Piece, ...]
    shelves: list[Shelfful]
    old: int

    @classmethod
    def begun(cls, room: Room, pieces: Sequence[Piece], layers: Sequence[Layer]) -> "Attempt":
        """The layers that stand already, with their pots."""
        known = {each.id: each for each in pieces}
        stood = [known[each.id] for layer in layers for each in layer.placements]
        shelves = [_standing(room, known, layer) for layer in layers]
        return cls(room, tuple(stood), shelves, len(shelves))

    def anew(self) -> "Attempt":
        """The same standing layers, nothing laid yet."""
        shelves = [replace(each, laid=[], refused=[]) for each in self.shelves]
        return replace(self, shelves=shelves)

    @property
    def standing_ids(self) -> set[str]:
        return {each.id for shelf in self.shelves for each in shelf.placements}

    def lay(self, order: Sequence[Piece], way: Way) -> list[Piece]:
        """Lays pots in this order; answers those that found no place."""
        return [piece for piece in order if not self._laid(piece, way)]

    def _laid(self, piece: Piece, way: Way) -> bool:
        for shelf in self.shelves:
            if self._too_large(shelf, piece) or not self.may_take(shelf, piece):
                continue
            if self._put(shelf, piece, way):
                return True
            shelf.refused.append(piece)
        shelf = Shelfful(None, (), self.room.spots, 0.0, 0.0)
        self.shelves.append(shelf)
        if self.may_take(shelf, piece) and self._put(shelf, piece, way):
            return True
        self.shelves.remove(shelf)
        return False

    def _too_large(self, shelf: Shelfful, piece: Piece) -> bool:
        """Whether it holds another pot that found no place here: the layer only gets fuller."""
        inside_mm = self.room.widest_inside_mm(piece)
        return any(
            each.outline.shape in ELLIPSES
            and (
                inside_mm >= max(each.front_mm, each.depth_mm)
                or (
                    piece.outline.shape in ELLIPSES
                    and piece.front_mm >= each.front_mm
                    and piece.depth_mm >= each.depth_mm
                )
            )
            for each in shelf.refused
        )

    def may_take(self, shelf: Shelfful, piece: Piece) -> bool:
        """Whether a layer has height and area left for a pot, wherever it might stand."""
        area = shelf.area_mm2 + self.room.piece_area_mm2(piece)
        if area > self.room.area_mm2 * (1 + NO_AREA):
            return False
        return self.high_enough(shelf, piece)

    def high_enough(self, shelf: Shelfful, piece: Piece) -> bool:
        """Whether a layer has the height for a pot, or can get it."""
        before, shelf.need_mm = shelf.need_mm, self._need_mm(shelf, piece)
        stands = self._stack() is not None
        shelf.need_mm = before
        return stands

    def _need_mm(self, shelf: Shelfful, piece: Piece) -> float:
        return max(shelf.need_mm, piece.height_mm + self.room.furniture.headroom_mm)

    def _stack(self) -> Stack | None:
        standing = [Standing(each.post_mm, each.need_mm) for each in self.shelves[: self.old]]
        return stack(
            self.room.furniture, standing, [each.need_mm for each in self.shelves[self.old :]]
        )

    def _put(self, shelf: Shelfful, piece: Piece, way: Way) -> bool:
        best: tuple[float, Fit, Floats] | None = None
        obstacles = shelf.obstacles
        self.room.looks += (1 + len(obstacles.centres)) * len(self.room.fits(piece))
        for fitted in self.room.fits(piece):
            bounds = border(self.room.edge, fitted, obstacles, self.room.furniture.clearance_mm)
            at, left = corners(bounds)
            if len(at):
                cost = way.cost(at, left)
                least = int(cost.argmin())
                if best is None or cost[least] < best[0]:
                    best = float(cost[least]), fitted, at[least]
        if best is None:
            return False
        self.add(shelf, piece)
        shelf.laid.append(Laid(piece, best[1], best[2]))
        return True

    def add(self, shelf: Shelfful, piece: Piece) -> None:
        """Counts a pot into a layer's height and area."""
        shelf.need_mm = self._need_mm(shelf, piece)
        shelf.area_mm2 += self.room.piece_area_mm2(piece)

    def relay(self, shelf: Shelfful, laid: Sequence[Laid]) -> None:
        """Lays these pots on a shelf instead of those that were laid there in this load."""
        shelf.area_mm2 -= sum(self.room.piece_area_mm2(each.piece) for each in shelf.laid)
        shelf.need_mm = shelf.fixed_need_mm
        shelf.laid = list(laid)
        for each in laid:
            self.add(shelf, each.piece)

    def layers(self) -> tuple[Layer, ...]:
        """The layers with their posts, from the bottom up."""
        stands = self._stack()
        if stands is None:  # what stood before doesn't fit this kiln; nothing was added
            return tuple(Layer(each.post_mm, each.placements) for each in self.shelves)
        new = self.shelves[self.old :]
        ordered = self.shelves[: self.old] + [new[n] for n in stands.order]
        return tuple(
            Layer(post, each.placements)
            for post, each in zip(stands.posts_mm, ordered, strict=True)
        )


def _standing(room: Room, known: dict[str, Piece], layer: Layer) -> Shelfful:
    obstacles, need, area = room.spots, 0.0, 0.0
    for each in layer.placements:
        piece = known[each.id]
        obstacles = room.with_placed(obstacles, piece, each)
        need = max(need, piece.height_mm + room.furniture.headroom_mm)
        area += room.piece_area_mm2(piece)
    return Shelfful(layer.post_mm, layer.placements, obstacles, need, area, need)
