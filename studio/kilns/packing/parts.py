"""Whole and half layers of a load, and the columns that they stand in. Lengths in mm."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from .inputs import Layer, Part, Piece, Placement, Shelf, Side
from .shapes import outline_points, shelf_points
from .tolerances import CONTACT_MM

SIDES: tuple[Side, Side] = ("left", "right")


@dataclass(frozen=True)
class Parted:
    """The whole layers of a load and its half ones, each from the bottom up."""

    whole: tuple[Layer, ...]
    left: tuple[Layer, ...]
    right: tuple[Layer, ...]

    def on(self, side: Side) -> tuple[Layer, ...]:
        return self.left if side == "left" else self.right

    @property
    def halves(self) -> int:
        return len(self.left) + len(self.right)


def parted(layers: Sequence[Layer]) -> Parted:
    """A load by the parts of its shelves."""
    whole, left, right = (
        tuple(each for each in layers if each.part == part) for part in ("whole", *SIDES)
    )
    return Parted(whole, left, right)


def posts_in(layers: Sequence[Layer]) -> Iterator[float]:
    """The heights of all posts that stand in a load, one for each shelf that is held up."""
    for each in layers:
        for post_mm in (each.post_mm, each.right_post_mm):
            if post_mm is not None:
                yield post_mm


def reaches(piece: Piece, placement: Placement, side: Side, clearance_mm: float) -> bool:
    """Whether a pot on a whole shelf stands in the way of a half one above that side: on it, or
    nearer to the middle line than half of the clearance."""
    x_mm = [x for x, _y in outline_points(piece, placement)]
    inward = min(x_mm) if side == "left" else -max(x_mm)
    return inward < clearance_mm / 2 - CONTACT_MM


def column(
    layers: Sequence[Layer], side: Side, pieces: Mapping[str, Piece], clearance_mm: float
) -> tuple[Layer, ...]:
    """The layers above each other on one side, from the bottom up. Of the last whole one only the
    pots that reach there, and its posts there. Pots that `pieces` doesn't know reach both sides.
    """
    found = parted(layers)
    last = found.whole[-1]
    here = tuple(
        each
        for each in last.placements
        if each.id not in pieces or reaches(pieces[each.id], each, side, clearance_mm)
    )
    post_mm = last.post_mm if side == "left" else last.right_post_mm
    return (*found.whole[:-1], Layer(post_mm, here), *found.on(side))


def columns(
    layers: Sequence[Layer], pieces: Mapping[str, Piece], clearance_mm: float
) -> tuple[tuple[Layer, ...], ...]:
    """Both of them; the load itself as the only one where all of its layers are whole."""
    if not parted(layers).halves:
        return (tuple(layers),)
    return tuple(column(layers, side, pieces, clearance_mm) for side in SIDES)


def part_points(shelf: Shelf, part: Part) -> tuple[tuple[float, float], ...]:
    """The edge of a shelf or of its half for drawing, counter-clockwise.

    >>> part_points(Shelf("rectangle", 400, 300), "left")
    ((0.0, 150.0), (-200.0, 150.0), (-200.0, -150.0), (0.0, -150.0))
    """
    points = shelf_points(shelf)
    if part == "whole":
        return points
    side = -1 if part == "left" else 1
    cut: list[tuple[float, float]] = []
    for (x, y), (next_x, next_y) in zip(points, (*points[1:], points[0]), strict=True):
        if x * side >= 0:
            cut.append((x, y))
        if x * next_x < 0:
            cut.append((0.0, y + (next_y - y) * x / (x - next_x)))
    return tuple(cut)
