"""Whether a load can be computed at all; what can't be is refused with every reason."""

from collections.abc import Iterator, Sequence
from math import isfinite

import shapely

from studio.kilns.refusal import KilnRefused, Trouble

from .inputs import (
    OUTLINE_SHAPES,
    SHELF_SHAPES,
    Furniture,
    Layer,
    Outline,
    Piece,
    Shelf,
    Spot,
)
from .tolerances import MOST_LENGTH_MM, MOST_PIECES, MOST_TRACED_POINTS


def refuse_troubles(
    furniture: Furniture, pieces: Sequence[Piece], layers: Sequence[Layer] = ()
) -> None:
    """Raises KilnRefused with all that is wrong, at paths such as `pieces.3.front_mm`."""
    problems = list(kiln_troubles(furniture))
    if len(pieces) > MOST_PIECES:
        problems.append(Trouble("pieces", "too_many_pieces", {"most": MOST_PIECES}))
    problems += piece_troubles(pieces)
    problems += _layer_troubles(pieces, layers)
    if problems:
        raise KilnRefused(problems)


def kiln_troubles(kiln: Furniture) -> Iterator[Trouble]:
    yield from _shelf_troubles(kiln.shelf)
    yield from _length("usable_height_mm", kiln.usable_height_mm)
    yield from _length("shelf_thickness_mm", kiln.shelf_thickness_mm)
    yield from _length("clearance_mm", kiln.clearance_mm, or_none=True)
    yield from _length("headroom_mm", kiln.headroom_mm, or_none=True)
    for n, post in enumerate(kiln.posts_mm):
        yield from _length(f"posts_mm.{n}", post)
    for name, spots in (("post_footprints", kiln.post_footprints), ("reserved", kiln.reserved)):
        for n, spot in enumerate(spots):
            yield from _spot_troubles(f"{name}.{n}.", spot)


def _shelf_troubles(shelf: Shelf) -> Iterator[Trouble]:
    if shelf.shape not in SHELF_SHAPES:
        yield Trouble("shelf.shape", "unknown_shelf")
    yield from _length("shelf.width_mm", shelf.width_mm)
    yield from _length("shelf.depth_mm", shelf.depth_mm)


def _spot_troubles(path: str, spot: Spot) -> Iterator[Trouble]:
    yield from _number(path + "x_mm", spot.x_mm)
    yield from _number(path + "y_mm", spot.y_mm)
    yield from _length(path + "diameter_mm", spot.diameter_mm)


def piece_troubles(pieces: Sequence[Piece]) -> Iterator[Trouble]:
    seen: set[str] = set()
    for n, piece in enumerate(pieces):
        if piece.id in seen:
            yield Trouble(f"pieces.{n}.id", "same_id", {"id": piece.id})
        seen.add(piece.id)
        yield from _length(f"pieces.{n}.front_mm", piece.front_mm)
        yield from _length(f"pieces.{n}.depth_mm", piece.depth_mm)
        yield from _length(f"pieces.{n}.height_mm", piece.height_mm)
        yield from _outline_troubles(f"pieces.{n}.outline.", piece.outline)


def _outline_troubles(path: str, outline: Outline) -> Iterator[Trouble]:
    if outline.shape not in OUTLINE_SHAPES:
        yield Trouble(path + "shape", "unknown_outline")
    if not 0 <= outline.corner_ratio <= 1:
        yield Trouble(path + "corner_ratio", "corner_ratio")
    if outline.shape == "traced":
        yield from _traced_troubles(path + "points", outline.points)


def _traced_troubles(path: str, points: Sequence[tuple[float, float]]) -> Iterator[Trouble]:
    if len(points) > MOST_TRACED_POINTS:
        yield Trouble(path, "too_many_points", {"most": MOST_TRACED_POINTS})
        return
    strange = [
        Trouble(f"{path}.{n}", "not_a_number")
        for n, point in enumerate(points)
        if not all(abs(value) <= MOST_LENGTH_MM for value in point)
    ]
    yield from strange
    if not strange:
        hull = shapely.convex_hull(shapely.MultiPoint(points))
        wide_mm = max(hull.bounds[2] - hull.bounds[0], hull.bounds[3] - hull.bounds[1])
        if not hull.area > 1e-3 * wide_mm**2:
            yield Trouble(path, "too_few_points")


def _layer_troubles(pieces: Sequence[Piece], layers: Sequence[Layer]) -> Iterator[Trouble]:
    known, seen = {each.id for each in pieces}, set[str]()
    for n, layer in enumerate(layers):
        if layer.post_mm is not None:
            yield from _length(f"layers.{n}.post_mm", layer.post_mm)
        elif n < len(layers) - 1:
            yield Trouble(f"layers.{n}.post_mm", "no_post")
        for k, each in enumerate(layer.placements):
            path = f"layers.{n}.placements.{k}."
            if each.id in seen:
                yield Trouble(path + "id", "same_id", {"id": each.id})
            elif each.id not in known:
                yield Trouble(path + "id", "unknown_piece", {"id": each.id})
            seen.add(each.id)
            yield from _number(path + "x_mm", each.x_mm)
            yield from _number(path + "y_mm", each.y_mm)
            yield from _number(path + "turn_deg", each.turn_deg)


def _number(path: str, value: float) -> Iterator[Trouble]:
    if not isfinite(value):
        yield Trouble(path, "not_a_number")
    elif abs(value) > MOST_LENGTH_MM:
        values = {"value_mm": value, "most_mm": MOST_LENGTH_MM}
        yield Trouble(path, "too_large_mm", values)


def _length(path: str, value_mm: float, *, or_none: bool = False) -> Iterator[Trouble]:
    if value_mm < 0 and or_none:
        yield Trouble(path, "negative")
    elif value_mm <= 0 and not or_none:
        yield Trouble(path, "must_be_positive")
    else:
        yield from _number(path, value_mm)
