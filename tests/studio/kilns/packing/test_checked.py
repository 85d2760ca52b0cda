"""What is wrong with a layout is found and said; sizes by hand."""

import doctest
from dataclasses import replace

import pytest

from studio.kilns.packing import checked as module
from studio.kilns.packing.checked import CHECKED, Violation, checked
from studio.kilns.packing.inputs import Layer, Outline, Piece, Placement, Spot

from .kilns import ONE_SHELF, ROUND_KILN, pot


def test_pots_nearer_than_the_clearance_are_named_with_what_is_lacking() -> None:
    on = Layer(None, (Placement("a", -60, 0), Placement("b", 64, 0)))
    kiln = replace(ONE_SHELF, clearance_mm=6)
    [found] = checked(kiln, [pot("a", 120), pot("b", 120)], [on])
    assert (found.code, found.layer, found.ids) == ("clearance", 0, ("a", "b"))
    assert found.short_mm == pytest.approx(2)
    assert found.message == "a and b stand 2 mm too close to each other."


def test_turned_outlines_are_judged_as_they_stand() -> None:
    """Two leaves tip to tip are 200 long each, side by side 80 deep."""
    leaves = [Piece(name, 200, 80, 50, Outline("leaf")) for name in "ab"]
    along = Layer(None, (Placement("a", -50, 0, 0), Placement("b", 50, 0, 0)))
    beside = Layer(None, (Placement("a", -43, 0, 90), Placement("b", 43, 0, 90)))
    assert [each.code for each in checked(ONE_SHELF, leaves, [along])] == ["clearance"]
    assert checked(ONE_SHELF, leaves, [beside]) == ()


def test_a_pot_over_the_edge_is_named() -> None:
    [found] = checked(ONE_SHELF, [pot("a", 100)], [Layer(None, (Placement("a", 203, 0),))])
    assert (found.code, found.ids) == ("over_edge", ("a",))
    assert found.short_mm == pytest.approx(3, abs=0.02)


def test_posts_and_places_kept_free_are_kept_clear() -> None:
    kiln = replace(ONE_SHELF, post_footprints=(Spot(-100, 0, 40),), reserved=(Spot(100, 0, 40),))
    on = Layer(None, (Placement("a", 0, 0),))
    assert checked(kiln, [pot("a", 148)], [on]) == ()
    found = checked(kiln, [pot("a", 150)], [on])
    assert [each.code for each in found] == ["on_post", "reserved"]
    assert [each.short_mm for each in found] == pytest.approx([1, 1])


def test_a_pot_too_tall_for_its_layer_and_a_stack_too_high_are_found() -> None:
    pieces = [pot("a", 100, 140), pot("b", 100, 560)]
    layers = [Layer(150, (Placement("a", 0, 0),)), Layer(None, (Placement("b", 0, 0),))]
    low, high = checked(replace(ROUND_KILN, usable_height_mm=760), pieces, layers)
    assert low == Violation("too_tall", 0, ("a",), 10)
    assert high == Violation("stack_too_high", 1, (), 20 + 150 + 20 + 560 + 20 - 760)
    assert high.message == "The layers together are 10 mm too high for the kiln."


def test_a_layer_beneath_another_needs_its_posts() -> None:
    [found] = checked(ROUND_KILN, [], [Layer(None), Layer(None)])
    assert found.message == "A layer with another one above it needs its posts."


def test_pots_that_are_unknown_or_stand_twice_are_named() -> None:
    layers = [
        Layer(150, (Placement("a", 0, 0), Placement("x", 0, 200))),
        Layer(None, (Placement("a", 0, 0),)),
    ]
    found = checked(ROUND_KILN, [pot("a", 100)], layers)
    assert [(each.code, each.layer, each.ids) for each in found] == [
        ("unknown", 0, ("x",)),
        ("twice", 1, ("a",)),
    ]
    assert [each.message for each in found] == [
        "x isn't among the pots of this load.",
        "a stands in the load twice.",
    ]


def test_no_layers_have_nothing_wrong() -> None:
    assert checked(ROUND_KILN, [], []) == ()


def test_every_sentence_ends_as_one() -> None:
    assert all(text.endswith(".") for text in CHECKED.values())


def test_its_examples_are_true() -> None:
    assert doctest.testmod(module).failed == 0
