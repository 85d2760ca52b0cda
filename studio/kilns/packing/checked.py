"""A layout judged with a geometry library, by another route than the one that made it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import shapely

from planning.geometry.said import sentence
from studio.kilns.refusal import told

from .inputs import Furniture, Layer, Part, Piece, Placement, Spot
from .parts import columns
from .shapes import body, outline_points, shelf_points
from .tolerances import CHECKED_MM

CHECKED: Mapping[str, str] = {
    "clearance": sentence("%(first)s and %(second)s stand %(short_mm)s too close to each other."),
    "over_edge": sentence("%(first)s stands %(short_mm)s over the shelf's edge."),
    "over_middle": sentence("%(first)s stands %(short_mm)s too close to the middle line."),
    "on_post": sentence("%(first)s stands %(short_mm)s too close to a post."),
    "reserved": sentence("%(first)s stands %(short_mm)s too far into a place kept free."),
    "too_tall": sentence("%(first)s is %(short_mm)s too tall for its layer."),
    "stack_too_high": sentence("The layers together are %(short_mm)s too high for the kiln."),
    "post_missing": sentence("A layer with another one above it needs its posts."),
    "twice": sentence("%(first)s stands in the load twice."),
    "unknown": sentence("%(first)s isn't among the pots of this load."),
}


@dataclass(frozen=True)
class Violation:
    """One thing wrong with a layout: the pots, the layer counted from 0 at the bottom, and how
    much is lacking."""

    code: str
    layer: int
    ids: tuple[str, ...] = ()
    short_mm: float = 0.0

    @property
    def message(self) -> str:
        named = dict(zip(("first", "second"), self.ids, strict=False))
        return told(CHECKED[self.code], {**named, "short_mm": self.short_mm})


@dataclass(frozen=True)
class _Stood:
    """A placed pot as a point or polygon with a radius around it: exact for circles."""

    id: str
    core: shapely.Geometry
    radius_mm: float
    whole: shapely.Geometry


def checked(
    furniture: Furniture, pieces: Sequence[Piece], layers: Sequence[Layer]
) -> tuple[Violation, ...]:
    """All that is wrong with a layout; empty when it is sound. Lengths in mm.

    >>> from .inputs import Shelf
    >>> kiln = Furniture(Shelf("round", 500, 500), 700, 20, (150, 200), 6, 20)
    >>> pots = [Piece("a", 200, 200, 150), Piece("b", 200, 200, 150)]
    >>> on = Layer(None, (Placement("a", -100, 0), Placement("b", 102, 0)))
    >>> [each.message for each in checked(kiln, pots, [on])]
    ['a and b stand 4 mm too close to each other.']
    """
    known = {each.id: each for each in pieces}
    found = list(_naming(known, layers))
    for n, layer in enumerate(layers):
        stood = [_stood(known[each.id], each) for each in layer.placements if each.id in known]
        found += _on_shelf(furniture, stood, n)
        found += _over_middle(furniture, stood, layer.part, n)
    found += _in_columns(furniture, known, layers)
    return tuple(found)


def _naming(known: Mapping[str, Piece], layers: Sequence[Layer]) -> Iterator[Violation]:
    seen: set[str] = set()
    for n, layer in enumerate(layers):
        for each in layer.placements:
            if each.id not in known:
                yield Violation("unknown", n, (each.id,))
            if each.id in seen:
                yield Violation("twice", n, (each.id,))
            seen.add(each.id)


def _stood(piece: Piece, placement: Placement) -> _Stood:
    whole = shapely.Polygon(outline_points(piece, placement))
    radius = body(piece).radius_mm
    if radius is None:
        return _Stood(piece.id, whole, 0.0, whole)
    return _Stood(piece.id, shapely.Point(placement.x_mm, placement.y_mm), radius, whole)


def _on_shelf(furniture: Furniture, stood: Sequence[_Stood], n: int) -> Iterator[Violation]:
    for one, other in combinations(stood, 2):
        apart = shapely.distance(one.core, other.core) - one.radius_mm - other.radius_mm
        if (short := furniture.clearance_mm - apart) > CHECKED_MM:
            yield Violation("clearance", n, (one.id, other.id), short)
    shelf = shapely.Polygon(shelf_points(furniture.shelf))
    for each in stood:
        outside = shapely.get_coordinates(each.whole)
        over = float(np.max(shapely.distance(shelf, shapely.points(outside))))
        if over > CHECKED_MM:
            yield Violation("over_edge", n, (each.id,), over)
        yield from _spots("on_post", furniture.post_footprints, each, n, furniture.clearance_mm)
        yield from _spots("reserved", furniture.reserved, each, n, furniture.clearance_mm)


def _spots(
    code: str, spots: Sequence[Spot], stood: _Stood, n: int, clearance_mm: float
) -> Iterator[Violation]:
    for spot in spots:
        middle = shapely.Point(spot.x_mm, spot.y_mm)
        apart = shapely.distance(stood.core, middle) - stood.radius_mm - spot.diameter_mm / 2
        if (short := clearance_mm - apart) > CHECKED_MM:
            yield Violation(code, n, (stood.id,), short)


def _over_middle(
    furniture: Furniture, stood: Sequence[_Stood], part: Part, n: int
) -> Iterator[Violation]:
    """Pots of the two halves that are as high keep the clearance: each keeps half of it."""
    if part == "whole":
        return
    for each in stood:
        low, _front, high, _back = shapely.bounds(each.whole)
        short = float(furniture.clearance_mm / 2 + (high if part == "left" else -low))
        if short > CHECKED_MM:
            yield Violation("over_middle", n, (each.id,), short)


def _in_columns(
    furniture: Furniture, known: Mapping[str, Piece], layers: Sequence[Layer]
) -> list[Violation]:
    """What is wrong with heights and posts; what both columns lack is said once."""
    found: dict[Violation, None] = {}
    whole, left = (sum(each.part == part for each in layers) for part in ("whole", "left"))
    for side, each in enumerate(columns(layers, known, furniture.clearance_mm)):
        numbers = [n if n < whole or not side else n + left for n in range(len(each))]
        for n, layer in zip(numbers, each, strict=True):
            found |= dict.fromkeys(_heights(furniture, known, layer, n))
        found |= dict.fromkeys(_stacking(furniture, known, each, numbers))
    return list(found)


def _heights(
    furniture: Furniture, known: Mapping[str, Piece], layer: Layer, n: int
) -> Iterator[Violation]:
    if layer.post_mm is None:
        return
    for each in layer.placements:
        if each.id in known:
            short = known[each.id].height_mm + furniture.headroom_mm - layer.post_mm
            if short > CHECKED_MM:
                yield Violation("too_tall", n, (each.id,), short)


def _stacking(
    furniture: Furniture,
    known: Mapping[str, Piece],
    layers: Sequence[Layer],
    numbers: Sequence[int],
) -> Iterator[Violation]:
    if not layers:
        return
    for n, layer in zip(numbers[:-1], layers[:-1], strict=True):
        if layer.post_mm is None:
            yield Violation("post_missing", n)
    top = [known[each.id].height_mm for each in layers[-1].placements if each.id in known]
    open_mm = max(top) + furniture.headroom_mm if top else 0.0
    below = sum(layer.post_mm or 0.0 for layer in layers[:-1])
    height = below + furniture.shelf_thickness_mm * len(layers) + open_mm
    if (short := height - furniture.usable_height_mm) > CHECKED_MM:
        yield Violation("stack_too_high", numbers[-1], (), short)
