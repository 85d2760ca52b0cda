"""How much of a kiln a pot takes: shares of its shelf and of its room, and whether it fits at all.

In any load, pots with half a gap around them share the shelves with half a gap around them, and a
layer is as high as its shelf, its tallest pot and the headroom at least. So for each kiln
Σ area × (height + headroom + shelf) ≤ shelf area × usable height, and pots of which only k layers
fit above each other share k shelves: k = ⌊usable height ÷ (height + headroom + shelf)⌋. Two half
shelves are one.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import ceil

from studio.kilns.packing.inputs import Layer, Piece
from studio.kilns.packing.load import why_hopeless
from studio.kilns.packing.room import Room
from studio.kilns.packing.tolerances import SAME_MM

from .inputs import Kiln

Size = tuple[object, ...]


@dataclass(frozen=True)
class Share:
    """Of the kiln's room, and of one shelf; `layers` of such a height fit above each other."""

    volume: float
    area: float
    layers: int


@dataclass(eq=False)
class Inside:
    """One kiln, and what has been found out about pots in it."""

    kiln: Kiln
    _shares: dict[Size, Share] = field(default_factory=dict)

    @cached_property
    def room(self) -> Room:
        return Room(self.kiln.furniture)

    def share(self, piece: Piece) -> Share:
        size = size_of(piece)
        if size not in self._shares:
            inside = self.kiln.furniture
            need_mm = piece.height_mm + inside.headroom_mm + inside.shelf_thickness_mm
            area = self.room.shelves_for([piece])
            high = inside.usable_height_mm
            shelves = self.kiln.stock.shelves + ceil(self.kiln.stock.half_shelves / 2)
            layers = min(int((high + SAME_MM) / need_mm), shelves)
            self._shares[size] = Share(area * need_mm / high, area, layers)
        return self._shares[size]

    def takes(self, pieces: Iterable[Piece]) -> bool:
        """Whether each of them, alone, would stand in the empty kiln."""
        return not any(why_hopeless(self.room, each) for each in pieces)

    def filled(self, pieces: Sequence[Piece]) -> float:
        """The share of the kiln's room that pots take."""
        return sum(self.share(each).volume for each in pieces)

    def layer_areas(self, pieces: Sequence[Piece], layers: Sequence[Layer]) -> list[float]:
        """How much of each shelf is taken."""
        known = {each.id: each for each in pieces}
        return [
            sum(self.share(known[each.id]).area for each in layer.placements) for layer in layers
        ]


def size_of(piece: Piece) -> Size:
    """All but the name."""
    return piece.front_mm, piece.depth_mm, piece.height_mm, piece.outline
