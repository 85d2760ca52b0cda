"""Whatever goes in and comes out, a load stands on the shelves and posts that there are.

Judged by `packing.checked`, which uses a geometry library and another route than the placing.
"""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.kilns.furnished import (
    Furnished,
    Stock,
    furnished,
    raised,
    stack_mm,
    trimmed,
    with_new_top,
)
from studio.kilns.packing.checked import checked
from studio.kilns.packing.inputs import Furniture, Layer, Outline, Piece, Placement, Shelf

SHELF = Shelf("round", 320, 320)
STOCK = Stock(3, ((110.0, 1), (160.0, 1), (220.0, 1)))
KILN = Furniture(SHELF, 500, 15, tuple(height for height, _sets in STOCK.posts), 10, 15)

shapes = st.sampled_from([Outline("round"), Outline("oval"), Outline("leaf")])
sizes = st.tuples(st.floats(60, 340), st.floats(60, 200), st.floats(40, 520), shapes)
# Each step takes some out by their numbers, then puts some in.
steps = st.lists(
    st.tuples(st.sets(st.integers(0, 12), max_size=4), st.lists(sizes, max_size=4)),
    min_size=1,
    max_size=4,
)


def wrong(
    kiln: Furniture, stock: Stock, pieces: list[Piece], layers: tuple[Layer, ...]
) -> list[str]:
    found = [each.message for each in checked(kiln, pieces, layers)]
    used = [layer.post_mm for layer in layers]
    if layers and used.pop() is not None:
        found.append("posts on top")
    found += [f"{h} mm posts" for h, sets in stock.posts if used.count(h) > sets]
    found += ["posts of no height"] * (not set(used) <= {height for height, _ in stock.posts})
    found += ["too many layers"] * (len(layers) > stock.shelves)
    return found


def places(layers: tuple[Layer, ...]) -> dict[str, tuple[int, Placement]]:
    return {each.id: (n, each) for n, layer in enumerate(layers) for each in layer.placements}


@settings(max_examples=25, deadline=None)
@given(steps)
def test_any_sequence_of_placing_and_taking_out_leaves_a_sound_load(
    sequence: list[tuple[set[int], list[tuple[float, float, float, Outline]]]],
) -> None:
    layers: tuple[Layer, ...] = ()
    inside: list[Piece] = []
    number = 0
    for out, into in sequence:
        gone = {each.id for n, each in enumerate(inside) if n in out}
        inside = [each for each in inside if each.id not in gone]
        layers = trimmed(
            [
                replace(each, placements=tuple(p for p in each.placements if p.id not in gone))
                for each in layers
            ]
        )
        assert wrong(KILN, STOCK, inside, layers) == []
        new = [
            Piece(str(number + n), front, depth, height, outline)
            for n, (front, depth, height, outline) in enumerate(into)
        ]
        number += len(new)
        before = places(layers)
        found = furnished(KILN, STOCK, [*inside, *new], layers)
        now = places(found.layers)
        assert {pk: now[pk] for pk in before} == before
        assert set(now) | set(found.left_out) == {each.id for each in [*inside, *new]}
        assert not set(now) & set(found.left_out)
        layers, inside = found.layers, [each for each in [*inside, *new] if each.id in now]
        assert wrong(KILN, STOCK, inside, layers) == []


def low(name: str, height_mm: float = 90) -> Piece:
    return Piece(name, 250, 250, height_mm)


def posts(found: Furnished) -> list[float | None]:
    return [layer.post_mm for layer in found.layers]


def test_the_second_low_layer_stands_on_the_next_longer_posts() -> None:
    found = furnished(KILN, STOCK, [low("a"), low("b"), low("c")])
    assert sorted(posts(found), key=str) == [110.0, 160.0, None]
    assert found.left_out == {}


def test_what_the_shelves_do_not_carry_is_left_out_the_least_urgent_first() -> None:
    found = furnished(KILN, replace(STOCK, shelves=2), [low("a"), low("b"), low("c")])
    assert found.left_out == {"c": "no_shelf"}


def test_without_posts_for_it_no_layer_is_made() -> None:
    bare = Stock(3, ((110.0, 0), (160.0, 1)))
    found = furnished(KILN, bare, [low("a"), low("b"), low("c")])
    assert posts(found) == [160.0, None]
    assert found.left_out == {"c": "no_shelf"}


def test_a_layer_that_posts_bring_up_to_the_lid_is_left_out() -> None:
    tight = replace(KILN, usable_height_mm=400)
    found = furnished(tight, Stock(3, ((110.0, 1), (220.0, 1))), [low("a"), low("b"), low("c")])
    assert found.left_out == {"c": "no_shelf"}


def test_an_open_layer_gets_posts_when_one_is_put_on_it_and_loses_them_again() -> None:
    first = furnished(KILN, STOCK, [low("a")])
    assert posts(first) == [None]
    both = furnished(KILN, STOCK, [low("a"), low("b")], first.layers)
    assert posts(both) == [110.0, None]
    emptied = (both.layers[0], replace(both.layers[1], placements=()))
    assert trimmed(emptied) == first.layers
    assert trimmed([Layer(None)]) == ()


def test_an_empty_kiln_is_left_as_it_is() -> None:
    assert furnished(KILN, STOCK, []) == Furnished((), {})
    assert stack_mm(KILN, (), {}) == 0
    assert stack_mm(KILN, [Layer(None)], {}) == 15


def test_the_stack_is_shelves_posts_and_the_tallest_pot_on_top_with_headroom() -> None:
    """Σ(shelf + post) + shelf + tallest on top + headroom, as common practice counts it."""
    layers = (Layer(110.0, (Placement("a", 0, 0),)), Layer(None, (Placement("b", 0, 0),)))
    assert stack_mm(KILN, layers, {"a": 90, "b": 95}) == 15 + 110 + 15 + 95 + 15


def test_a_load_without_a_shelf_left_stays_as_it_stands() -> None:
    first = furnished(KILN, STOCK, [low("a")])
    found = furnished(KILN, replace(STOCK, shelves=1), [low("a"), low("b")], first.layers)
    assert found == Furnished(first.layers, {"b": "no_shelf"})


def test_a_new_shelf_takes_the_lowest_posts_left_that_clear_what_is_below() -> None:
    """Pots of 120 and 90 mm with 15 mm of headroom; one set each of 110, 160 and 220 mm."""
    low, high = Placement("low", 0, 0, 0), Placement("high", 0, 0, 0)
    tall = {"low": 90.0, "high": 120.0}
    (below, above) = with_new_top(KILN, STOCK, (Layer(None, (low,)),), tall) or ()
    assert (below.post_mm, above) == (110, Layer(None, ()))
    two = (Layer(160.0, (low,)), Layer(None, (high,)))
    three = with_new_top(KILN, STOCK, two, tall) or ()
    assert [each.post_mm for each in three] == [160, 220, None]
    # No fourth shelf, and no posts of 235 mm.
    assert with_new_top(KILN, STOCK, three, tall) is None
    assert with_new_top(KILN, STOCK, (Layer(None, (low,)),), {"low": 220.0}) is None


@pytest.mark.parametrize(
    ("tall_mm", "post_mm"), [(130, 150), (135, 150), (136, 200), (180, 200), (186, 150)]
)
def test_posts_are_raised_to_the_lowest_left_that_clear(tall_mm: float, post_mm: float) -> None:
    """15 mm of headroom; the one set of 200 mm clears 185, and no other posts are left."""
    kiln = replace(KILN, headroom_mm=15)
    stock = Stock(3, ((150, 2), (200, 1)))
    layers = (Layer(150, (Placement("a", 0, 0),)), Layer(150, ()), Layer(None, ()))
    found = raised(kiln, stock, layers, 0, {"a": tall_mm})
    assert [each.post_mm for each in found] == [post_mm, 150, None]
    assert raised(kiln, stock, layers, 2, {"a": tall_mm}) == layers
