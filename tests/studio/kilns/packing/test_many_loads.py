"""Random loads, each pot drawn anew with a geometry library and measured against its neighbours.

Nothing here asks the packing how a pot looks: circles, ellipses, squares and lenses are built by
the library's own buffers, scalings and turns.
"""

from collections.abc import Callable
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
import shapely
import shapely.affinity
from shapely.geometry.base import BaseGeometry

from studio.kilns.packing.inputs import Furniture, Outline, Piece, Placement, Shelf
from studio.kilns.packing.load import Load, place_into

from .kilns import CORNER_POSTS, POSTS_MM, pot

QUICK, ALL = 12, 500
AGREES_MM = 0.05


def shelf_of(shelf: Shelf) -> BaseGeometry:
    half_x, half_y = shelf.width_mm / 2, shelf.depth_mm / 2
    if shelf.shape == "rectangle":
        return shapely.box(-half_x, -half_y, half_x, half_y)
    if shelf.shape == "octagon":
        square = shapely.box(-half_x, -half_x, half_x, half_x)
        turned = shapely.affinity.rotate(square, 45, origin=(0, 0))
        return square.intersection(turned)
    return shapely.affinity.scale(shapely.Point(0, 0).buffer(1, 128), half_x, half_y)


def lens(front: float, depth: float) -> BaseGeometry:
    """Two equal discs whose common part is so wide and so deep."""
    radius = (front**2 + depth**2) / (4 * depth)
    rise = radius - depth / 2
    return (
        shapely.Point(0, rise)
        .buffer(radius, 256)
        .intersection(shapely.Point(0, -rise).buffer(radius, 256))
    )


def drawn(piece: Piece, placement: Placement) -> BaseGeometry:
    half_x, half_y = piece.front_mm / 2, piece.depth_mm / 2
    shape: BaseGeometry
    if piece.outline.shape == "rounded_square":
        corner = piece.outline.corner_ratio
        flat = shapely.box(corner - 1, corner - 1, 1 - corner, 1 - corner)
        shape = shapely.affinity.scale(flat.buffer(corner, 64), half_x, half_y, origin=(0, 0))
    elif piece.outline.shape == "leaf":
        shape = lens(piece.front_mm, piece.depth_mm)
    else:
        shape = shapely.affinity.scale(shapely.Point(0, 0).buffer(1, 64), half_x, half_y)
    turned = shapely.affinity.rotate(shape, placement.turn_deg, origin=(0, 0))
    return shapely.affinity.translate(turned, placement.x_mm, placement.y_mm)


def random_load(seed: int) -> tuple[Furniture, list[Piece]]:
    dice = np.random.default_rng(seed)
    width, depth = (float(each) for each in dice.uniform(300, 560, 2))
    shelf = (
        Shelf("round", width, width),
        Shelf("octagon", width, width),
        Shelf("oval", width, depth),
        Shelf("rectangle", width, depth),
    )[seed % 4]
    furniture = Furniture(
        shelf,
        usable_height_mm=float(dice.uniform(250, 600)),
        shelf_thickness_mm=20,
        posts_mm=POSTS_MM,
        clearance_mm=float(dice.uniform(0, 8)),
        headroom_mm=float(dice.uniform(0, 25)),
        post_footprints=CORNER_POSTS[: seed % 3],
    )
    pieces = []
    for n in range(int(dice.integers(3, 13))):
        kind = ("round", "oval", "leaf", "rounded_square")[int(dice.integers(4))]
        front, height = float(dice.uniform(70, 200)), float(dice.uniform(60, 260))
        deep = front if kind in {"round", "rounded_square"} else front * dice.uniform(0.5, 0.9)
        outline = Outline(kind, 0.4)  # type: ignore[arg-type]
        pieces.append(Piece(f"P{n}", front, float(deep), height, outline))
    return furniture, pieces


def refuse_what_touches(kiln: Furniture, pieces: list[Piece], load: Load) -> None:
    known = {each.id: each for each in pieces}
    spots = [
        shapely.Point(each.x_mm, each.y_mm).buffer(each.diameter_mm / 2, 64)
        for each in (*kiln.post_footprints, *kiln.reserved)
    ]
    shelf = shelf_of(kiln.shelf).buffer(AGREES_MM)
    for layer in load.layers:
        stood = [drawn(known[each.id], each) for each in layer.placements]
        for one, other in [*combinations(stood, 2), *((a, b) for a in stood for b in spots)]:
            assert one.distance(other) >= kiln.clearance_mm - AGREES_MM
            assert one.intersection(other).area < 1
        assert all(shelf.covers(each) for each in stood)
        if layer.post_mm is not None:
            tallest = max(known[each.id].height_mm for each in layer.placements)
            assert tallest + kiln.headroom_mm <= layer.post_mm + 1e-6
    if load.layers:
        posts = sum(layer.post_mm or 0 for layer in load.layers)
        top = max(known[each.id].height_mm for each in load.layers[-1].placements)
        shelves = kiln.shelf_thickness_mm * len(load.layers)
        assert posts + shelves + top + kiln.headroom_mm <= kiln.usable_height_mm + 1e-6


@pytest.mark.parametrize(
    "seeds",
    [range(QUICK), pytest.param(range(QUICK, ALL), marks=pytest.mark.slow)],
    ids=["a few", "hundreds"],
)
def test_no_pot_touches_another_or_leaves_its_shelf(seeds: range) -> None:
    placed = 0
    for seed in seeds:
        kiln, pieces = random_load(seed)
        load = place_into(kiln, pieces, tries=2)
        refuse_what_touches(kiln, pieces, load)
        placed += sum(len(layer.placements) for layer in load.layers)
    assert placed > 3 * len(seeds)


@pytest.mark.parametrize(
    ("sizes", "capacity", "bins"),
    [
        ((48, 30, 19, 36, 36, 27, 42, 42, 36, 24, 30), 100, 4),
        ((150,) * 5, 300, 3),
        ((130, 140, 150, 160), 300, 2),
        ((101,) * 9, 300, 5),
        ((101, 200, 101, 101, 101, 101, 200, 101, 200), 300, 6),
    ],
)
def test_strips_are_laid_on_as_few_shelves_as_bins_are_needed(
    sizes: tuple[int, ...], capacity: int, bins: int
) -> None:
    """Square-cornered strips as deep as the shelf can only lie side by side, so a shelf is a bin.

    Bin packing: the first case by exhaustive search (derived), the others from a public problem
    set (EonKid/Topcoder-2, BinPackingEasy.txt, published).
    """
    strip = Outline("rounded_square", corner_ratio=0.0)
    pieces = [Piece(f"{n}", size, 400, 80, strip) for n, size in enumerate(sizes)]
    kiln = Furniture(Shelf("rectangle", capacity, 400), 5000, 20, (100,), 0, 20)
    load = place_into(kiln, pieces)
    assert load.unplaced == ()
    assert len(load.layers) == bins


@pytest.mark.parametrize("order", [(0, 1, 2, 3), (3, 1, 0, 2)])
def test_equal_pots_come_to_the_same_load_in_any_order(order: tuple[int, ...]) -> None:
    kiln = Furniture(Shelf("rectangle", 320, 160), 300, 20, (100,), 4, 20)
    names = [f"{n}" for n in order]
    load = place_into(kiln, [pot(name, 150, 80) for name in names])
    places = [(each.x_mm, each.y_mm) for layer in load.layers for each in layer.placements]
    assert places == [
        (each.x_mm, each.y_mm)
        for layer in place_into(kiln, [pot(f"{n}", 150, 80) for n in range(4)]).layers
        for each in layer.placements
    ]


@pytest.mark.parametrize("shape", ["round", "rectangle"])
def test_more_clearance_never_lets_more_equal_pots_in(shape: str) -> None:
    make: Callable[[float], Furniture] = lambda gap: replace(  # noqa: E731
        Furniture(Shelf("round", 400, 400), 150, 20, (), 0, 20),
        shelf=Shelf(shape, 400, 400),  # type: ignore[arg-type]
        clearance_mm=gap,
    )
    pieces = [pot(f"{n}", 130, 80) for n in range(9)]
    counts = [
        len(pieces) - len(place_into(make(gap), pieces, tries=4).unplaced)
        for gap in (0, 5, 40, 150)
    ]
    assert counts == sorted(counts, reverse=True)
    # 3 × 130 fit into 400 mm with 5 mm between them; seven need (1 + 2) · 130 = 390 across.
    assert counts[0] == {"round": 7, "rectangle": 9}[shape]
