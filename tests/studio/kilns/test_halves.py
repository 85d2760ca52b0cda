"""Loads with half shelves: each pot drawn anew with a geometry library, each side measured on its
own, and cases in which a half shelf must win by arithmetic.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
import shapely

from studio.kilns.furnished import Furnished, Stock, furnished, trimmed
from studio.kilns.halves import heights_mm, laid_out, with_new_half
from studio.kilns.packing.checked import checked
from studio.kilns.packing.inputs import (
    Furniture,
    Layer,
    Outline,
    Piece,
    Placement,
    Shelf,
    ShelfShape,
)
from studio.kilns.packing.parts import part_points

from .packing.kilns import pot
from .packing.test_many_loads import drawn, shelf_of

KILN = Furniture(Shelf("rectangle", 400, 200), 400, 20, (120.0, 170.0, 220.0), 10, 10)
STOCK = Stock(4, ((120.0, 3), (170.0, 2), (220.0, 1)), half_shelves=2)
# 195 mm square boxes: with 5 mm to the middle line just one stands on each half.
BOX = Outline("rounded_square", 0.0)
AGREES_MM = 0.06


def box(name: str, height_mm: float) -> Piece:
    return Piece(name, 190, 190, height_mm, BOX)


def wrong(
    kiln: Furniture, stock: Stock, pieces: Sequence[Piece], layers: Sequence[Layer]
) -> list[str]:
    """By shapely alone: what leaves its half, stands too near, or doesn't fit below something."""
    known = {each.id: each for each in pieces}
    far, whole = 1e4, shelf_of(kiln.shelf)
    halves = {
        "whole": whole,
        "left": whole.intersection(shapely.box(-far, -far, 0, far)),
        "right": whole.intersection(shapely.box(0, -far, far, far)),
    }
    parts = [each.part for each in layers]
    count = parts.count("whole")
    found = ["order"] * (parts != sorted(parts, key=["whole", "left", "right"].index))
    found += ["shelves"] * (count > stock.shelves or len(parts) - count > stock.half_shelves)
    # From where to where each pot stands: any two that are beside each other keep the clearance.
    stood: list[tuple[str, shapely.Geometry, float, float]] = []
    floors = {"left": 0.0, "right": 0.0}
    posts: list[float] = []
    for n, layer in enumerate(layers):
        sides = ("left", "right") if layer.part == "whole" else (layer.part,)
        floor = max(floors[side] for side in sides) + kiln.shelf_thickness_mm
        forks = n == count - 1 and len(parts) > count
        above = {"left": layer.post_mm, "right": layer.post_mm}
        if forks:
            above["right"] = layer.right_post_mm
        for place in layer.placements:
            piece = known[place.id]
            shape = drawn(piece, place)
            if not halves[layer.part].buffer(AGREES_MM).contains(shape):
                found.append(f"{place.id} leaves its shelf")
            for side in sides:
                over = halves[side].buffer(kiln.clearance_mm / 2 - AGREES_MM, join_style="mitre")
                post, need = above[side], piece.height_mm + kiln.headroom_mm
                if not over.intersects(shape) or (
                    post is None and floor + need <= kiln.usable_height_mm + 1e-6
                ):
                    continue
                if post is None or need > post + 1e-6:
                    found.append(f"{place.id} is too tall on the {side}")
            stood.append((place.id, shape, floor, floor + piece.height_mm))
        for side in sides:
            floors[side] = floor + (above[side] or 0.0)
        posts += [h for h in ({layer.post_mm} if not forks else above.values()) if h is not None]
    for (a, one, low, high), (b, other, floor, top) in combinations(stood, 2):
        beside = low < top and floor < high
        if beside and shapely.distance(one, other) < kiln.clearance_mm - AGREES_MM:
            found.append(f"{a} and {b} too near")
    found += [f"{h} mm posts" for h, sets in stock.posts if posts.count(h) > sets]
    found += ["posts of no height"] * (not set(posts) <= {height for height, _ in stock.posts})
    return found


def frame(found: Furnished) -> list[tuple[str, float | None, float | None, int]]:
    return [
        (each.part, each.post_mm, each.right_post_mm, len(each.placements)) for each in found.layers
    ]


def test_a_tall_pot_on_one_side_and_three_low_ones_on_the_other() -> None:
    """Common practice, no source. Shelf 20 + 350 + 10 = 380 of 400 mm; beside it three storeys of
    (20 + 120) + (20 + 120) + 20 + 90 + 10 = 400 mm. On whole shelves a tall pot leaves one layer.
    """
    pots = [box("tall", 350), box("a", 90), box("b", 90), box("c", 90)]
    assert len(furnished(KILN, STOCK, pots).left_out) > 0
    found = laid_out(KILN, STOCK, pots)
    assert found.left_out == {}
    assert wrong(KILN, STOCK, pots, found.layers) == []
    assert checked(KILN, pots, found.layers) == ()
    assert sorted(heights_mm(KILN, found.layers, pots)) == [380, 400]
    assert [each.part for each in found.layers].count("whole") == 1


def test_without_half_shelves_or_need_of_them_a_load_is_as_on_whole_ones() -> None:
    pots = [box("tall", 350), box("a", 90), box("b", 90), box("c", 90)]
    bare = replace(STOCK, half_shelves=0)
    assert laid_out(KILN, bare, pots) == furnished(KILN, bare, pots)
    assert laid_out(KILN, STOCK, pots[:2]) == furnished(KILN, STOCK, pots[:2])
    hopeless = [pot("giant", 100, 900)]
    assert laid_out(KILN, STOCK, hopeless).left_out == {"giant": "taller_than_kiln"}


def test_columns_share_posts_and_half_shelves() -> None:
    """Four low ones beside a tall one need three half shelves and three sets of posts."""
    pots = [box("tall", 350), *(box(str(n), 60) for n in range(4))]
    low = replace(KILN, posts_mm=(80.0,))
    three = Stock(4, ((80.0, 3),), half_shelves=3)
    assert laid_out(low, three, pots).left_out == {}
    assert len(laid_out(low, replace(three, half_shelves=2), pots).left_out) == 1
    assert len(laid_out(low, replace(three, posts=((80.0, 2),)), pots).left_out) == 1


def test_a_pot_across_the_middle_line_is_below_both_columns() -> None:
    wide = Piece("wide", 300, 190, 150, BOX)
    pots = [wide, box("a", 170), box("b", 90), box("c", 90)]
    kiln = replace(KILN, usable_height_mm=420)
    # On 170: 20 + 170 + 20 = 210 below; then 180 beside 120 + 20 + 100 is 40 too much for c.
    layers = (Layer(None, (Placement("wide", 0, 0),)),)
    found = laid_out(kiln, replace(STOCK, shelves=1), pots, layers)
    assert frame(found)[0] == ("whole", 170, 220, 1) or frame(found)[0] == ("whole", 170, 170, 1)
    assert wrong(kiln, STOCK, pots, found.layers) == []


def test_what_stands_never_moves_and_gaps_below_halves_are_filled() -> None:
    tall, low = box("tall", 350), box("low", 90)
    small = Piece("small", 40, 40, 60)
    begun = laid_out(KILN, STOCK, [tall, low, box("b", 90)])
    assert [each.part for each in begun.layers] in (["whole", "left"], ["whole", "right"])
    more = [tall, low, box("b", 90), box("c", 90), small, pot("giant", 100, 900), box("d", 90)]
    found = laid_out(KILN, STOCK, more, begun.layers)
    assert found.left_out["giant"] == "taller_than_kiln"
    assert set(found.left_out) == {"giant", "d"} or set(found.left_out) == {"giant", "d", "small"}
    before = {p.id: (p, n) for n, each in enumerate(begun.layers) for p in each.placements}
    now = {p.id: (p, n) for n, each in enumerate(found.layers) for p in each.placements}
    assert {name: now[name] for name in before} == before
    assert wrong(KILN, STOCK, more, found.layers) == []
    assert laid_out(KILN, STOCK, more[:3], begun.layers).layers == begun.layers


def test_empty_halves_on_top_go_and_what_was_below_stands_open() -> None:
    on = Placement("a", -100, 0)
    last = Layer(120.0, (on,), "whole", 170.0)
    left, right = Layer(None, (replace(on, id="b"),), "left"), Layer(None, (), "right")
    assert trimmed([last, left, right]) == (replace(last, right_post_mm=None), left)
    nothing = replace(left, placements=())
    assert trimmed([last, nothing, right]) == (Layer(None, (on,)),)


def test_a_new_half_shelf_takes_the_lowest_posts_left_that_clear_its_side() -> None:
    """Pots of 150 on the left and 100 on the right, 10 mm of headroom over each."""
    pots = [box("a", 150), box("b", 100)]
    layers = (Layer(None, (Placement("a", -100, 0), Placement("b", 100, 0))),)
    right = with_new_half(KILN, STOCK, layers, pots, "right") or ()
    assert [(each.part, each.post_mm, each.right_post_mm) for each in right] == [
        ("whole", None, 120),
        ("right", None, None),
    ]
    both = with_new_half(KILN, STOCK, right, pots, "left") or ()
    assert [(each.part, each.post_mm, each.right_post_mm) for each in both] == [
        ("whole", 170, 120),
        ("left", None, None),
        ("right", None, None),
    ]
    assert with_new_half(KILN, STOCK, both, pots, "left") is None
    high = [box("a", 250), box("b", 100)]
    assert with_new_half(KILN, STOCK, layers, high, "left") is None


def test_faults_of_half_layers_are_found() -> None:
    pots = [box("a", 150), box("b", 150), box("c", 100)]
    last = Layer(120.0, (Placement("a", -101, 0),), "whole", None)
    left = Layer(None, (Placement("b", -98, 0),), "left")
    right = Layer(None, (Placement("c", 100, 0),), "right")
    found = [(each.code, each.layer, each.ids) for each in checked(KILN, pots, [last, left, right])]
    assert found == [
        ("over_middle", 1, ("b",)),
        ("too_tall", 0, ("a",)),
        ("post_missing", 0, ()),
    ]
    low = replace(KILN, usable_height_mm=310)
    [high] = checked(
        low,
        pots[1:],
        [replace(last, placements=()), replace(left, placements=(Placement("b", -100, 0),))],
    )
    assert (high.code, high.layer, high.short_mm) == ("stack_too_high", 1, 10)


@pytest.mark.parametrize("shape", ["rectangle", "octagon", "round", "oval"])
def test_two_halves_are_the_whole_shelf(shape: ShelfShape) -> None:
    shelf = Shelf(shape, 400, 400 if shape != "oval" else 300)
    left, right = (shapely.Polygon(part_points(shelf, part)) for part in ("left", "right"))
    assert left.bounds[2] == pytest.approx(0, abs=1e-9)
    assert left.intersection(right).area == pytest.approx(0, abs=1e-6)
    assert left.union(right).area == pytest.approx(
        shapely.Polygon(part_points(shelf, "whole")).area
    )


SHAPES: tuple[ShelfShape, ...] = ("round", "octagon", "oval", "rectangle")


def random_load(seed: int) -> tuple[Furniture, Stock, list[Piece]]:
    dice = np.random.default_rng(seed)
    width, depth = (float(each) for each in dice.uniform(320, 520, 2))
    shape = SHAPES[seed % 4]
    shelf = Shelf(shape, width, depth if shape in {"oval", "rectangle"} else width)
    stock = Stock(3, ((110.0, 2), (160.0, 2), (220.0, 1)), half_shelves=int(dice.integers(1, 5)))
    kiln = Furniture(shelf, float(dice.uniform(350, 600)), 15, (110.0, 160.0, 220.0), 8, 12)
    pieces = []
    for n in range(int(dice.integers(6, 16))):
        kind = Outline(("round", "oval", "leaf", "rounded_square")[int(dice.integers(4))], 0.3)
        front = float(dice.uniform(70, 180))
        square = kind.shape in {"round", "rounded_square"}
        depth = front if square else front * float(dice.uniform(0.5, 0.9))
        tall = float(dice.uniform(60, 130)) if n % 3 else float(dice.uniform(150, 480))
        pieces.append(Piece(f"P{n}", front, depth, tall, kind))
    return kiln, stock, pieces


@pytest.mark.parametrize(("seed", "fullest"), [*((n, False) for n in range(7)), (3, True)])
def test_random_loads_with_halves_stand_and_hold_no_less(seed: int, fullest: bool) -> None:
    kiln, stock, pots = random_load(seed)
    whole = furnished(kiln, stock, pots)
    found = laid_out(kiln, stock, pots, fullest=fullest)
    assert wrong(kiln, stock, pots, found.layers) == []
    assert checked(kiln, pots, found.layers) == ()
    placed = {each.id for layer in found.layers for each in layer.placements}
    assert placed | set(found.left_out) == {each.id for each in pots}
    assert not placed & set(found.left_out)
    if not fullest:
        assert len(found.left_out) <= len(whole.left_out)
