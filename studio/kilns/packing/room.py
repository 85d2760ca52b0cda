"""What a kiln's shelves offer: tangents, spots, areas, and how each pot can be turned on them."""

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from .contact import NOTHING, UNITS, Fit, Obstacles, border, corners, fit, support
from .inputs import Furniture, Piece, Placement
from .shapes import Body, Edge, Floats, body, edge, shelf_points
from .tolerances import DIRECTIONS, SAME_MM

Turns = tuple[float, ...]

COARSE: dict[int | None, Turns] = {
    None: (0.0,),
    1: tuple(45.0 * n for n in range(8)),
    2: (0.0, 90.0, 45.0, 135.0),
    4: (0.0, 45.0),
}
"""How pots are turned, by the number of equal turns in a full one: straight first."""

FINE_DEG = 5.0
MOST_FINE_TURNS = 6


@dataclass(eq=False)
class Room:
    """One kiln, and what has been found out about pots in it.

    `looks` counts obstacles looked at for places: the effort spent, the same on every machine.
    """

    furniture: Furniture
    edge: Edge = field(init=False)
    spots: Obstacles = field(init=False)
    area_mm2: float = field(init=False)
    looks: int = 0
    _areas: dict[Body, float] = field(init=False, default_factory=dict)
    _inside: dict[Body, float] = field(init=False, default_factory=dict)
    _fits: dict[Body, tuple[Fit, ...]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        self.edge = edge(self.furniture.shelf)
        self.spots = NOTHING
        for spot in (*self.furniture.post_footprints, *self.furniture.reserved):
            half = spot.diameter_mm / 2
            around = np.full(DIRECTIONS, half)
            self.spots = self.spots.and_one(np.array([spot.x_mm, spot.y_mm]), half, around)
        if self.side:
            self.spots = self.spots.and_one(*self._other_half())
        self.area_mm2 = self._area_mm2()

    @property
    def side(self) -> int:
        """Where the x of pots on a half shelf is: -1 left, 1 right; 0 on a whole one."""
        return {"whole": 0, "left": -1, "right": 1}[self.furniture.shelf.part]

    def _other_half(self) -> tuple[Floats, None, Floats]:
        """What may stand beyond the middle line, as one square obstacle: half of the clearance
        behind it. So large that it parts pots from every place by about the same direction."""
        shelf = self.furniture.shelf
        half_mm = shelf.width_mm + shelf.depth_mm
        centre = np.array([-self.side * (half_mm + self.half_gap_mm), 0.0])
        return centre, None, half_mm * np.abs(UNITS).sum(axis=1)

    @property
    def half_gap_mm(self) -> float:
        return self.furniture.clearance_mm / 2

    def _area_mm2(self) -> float:
        """The shelf and half a gap around it, without its spots and half a gap around them."""
        spots = [
            shapely.Point(each.x_mm, each.y_mm).buffer(each.diameter_mm / 2 + self.half_gap_mm, 32)
            for each in (*self.furniture.post_footprints, *self.furniture.reserved)
        ]
        whole: BaseGeometry = shapely.Polygon(shelf_points(self.furniture.shelf))
        if self.half_gap_mm > SAME_MM:  # a buffer of next to nothing comes out empty
            whole = whole.buffer(self.half_gap_mm, 32)
        if self.side:
            far = self.side * 2 * (self.furniture.shelf.width_mm + self.furniture.shelf.depth_mm)
            whole = whole.intersection(shapely.box(min(far, 0), -abs(far), max(far, 0), abs(far)))
        return float(whole.difference(shapely.union_all(spots)).area)

    def shelves_for(self, pieces: Iterable[Piece]) -> float:
        """How many shelves pots and half a gap around them would cover; 0 where spots leave no
        shelf at all."""
        area = sum(map(self.piece_area_mm2, pieces))
        return area / self.area_mm2 if self.area_mm2 else 0.0

    def piece_area_mm2(self, piece: Piece) -> float:
        """A pot and half a gap around it, by Steiner's formula for convex shapes."""
        shape, gap = body(piece), self.half_gap_mm
        if shape not in self._areas:
            outline = shapely.Polygon(shape.points)
            self._areas[shape] = outline.area + outline.length * gap + float(np.pi) * gap**2
        return self._areas[shape]

    def widest_inside_mm(self, piece: Piece) -> float:
        """Diameter of the largest circle around the centre that the outline holds."""
        shape = body(piece)
        if shape.radius_mm is not None:
            return 2 * shape.radius_mm
        if shape not in self._inside:
            rim = shapely.LinearRing(shape.points)
            self._inside[shape] = 2 * float(shapely.distance(rim, shapely.Point(0, 0)))
        return self._inside[shape]

    def fits(self, piece: Piece) -> tuple[Fit, ...]:
        """The turns at which a pot finds a place on an empty shelf; none when it is too wide.

        Finer turns are tried only where none of the plain ones does.
        """
        shape = body(piece)
        if shape not in self._fits:
            plain = COARSE[shape.folds]
            found = self._standing(shape, plain)
            if not found and shape.folds:
                fine = np.arange(0.0, 360.0 / shape.folds, FINE_DEG)
                found = self._standing(shape, tuple(map(float, fine)))[:MOST_FINE_TURNS]
            self._fits[shape] = found
        return self._fits[shape]

    def _standing(self, shape: Body, turns: Turns) -> tuple[Fit, ...]:
        fits = (fit(shape, turn, self.edge) for turn in turns)
        return tuple(each for each in fits if each is not None and self._offers(each))

    def _offers(self, fitted: Fit) -> bool:
        at, _ = corners(border(self.edge, fitted, self.spots, self.furniture.clearance_mm))
        return len(at) > 0

    def with_placed(self, obstacles: Obstacles, piece: Piece, placement: Placement) -> Obstacles:
        """The obstacles and a pot that stands where somebody put it."""
        shape = body(piece)
        centre = np.array([placement.x_mm, placement.y_mm])
        return obstacles.and_one(centre, shape.radius_mm, support(shape, placement.turn_deg))
