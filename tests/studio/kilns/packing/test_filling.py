"""Where more pots wait than a kiln holds, its shelves are filled, and the most urgent go in."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from studio.kilns.packing.checked import checked
from studio.kilns.packing.inputs import Furniture, Layer, Outline, Piece, Placement, Shelf
from studio.kilns.packing.load import Load, place_into

from .kilns import CORNER_POSTS, ONE_SHELF, pot, pots

ANY_SHELF = (
    Shelf("round", 560, 560),
    Shelf("octagon", 600, 600),
    Shelf("rectangle", 600, 500),
    Shelf("oval", 700, 500),
)


def full(kiln: Furniture, pieces: Sequence[Piece], standing: Sequence[Layer] = ()) -> Load:
    """A fraction of a load's usual effort shows as much."""
    return place_into(kiln, pieces, standing, fullest=True, pairs=1_000_000)


def placed(load: Load) -> set[str]:
    return {each.id for layer in load.layers for each in layer.placements}


def one_layer(shelf: Shelf) -> Furniture:
    return Furniture(shelf, 320, 20, (), 6, 20, post_footprints=CORNER_POSTS[:2])


@pytest.mark.parametrize("shelf", ANY_SHELF, ids=[each.shape for each in ANY_SHELF])
def test_a_filled_shelf_is_sound_and_fuller_than_one_laid_pot_by_pot(shelf: Shelf) -> None:
    """Laid pot by pot and squeezed, mixed pots fill 0.74 to 0.76."""
    kiln, pieces = one_layer(shelf), pots(None, 24)
    filled = full(kiln, pieces)
    assert checked(kiln, pieces, filled.layers) == ()
    assert filled.area_filled > 0.77
    assert len(placed(filled)) + len(filled.unplaced) == len(pieces)


def test_the_most_urgent_are_in_it_whatever_would_fill_it_better() -> None:
    """Three pots that cover a seventh of the shelf, among many small ones that close it better."""
    urgent = [pot(f"urgent {n}", width) for n, width in enumerate((104, 106, 108))]
    others = [pot(f"other {n}", 60) for n in range(60)]
    for pieces in (urgent + others, urgent + others[::-1]):
        load = full(ONE_SHELF, pieces)
        assert {each.id for each in urgent} <= placed(load)
        assert checked(ONE_SHELF, pieces, load.layers) == ()


def test_the_most_urgent_of_all_goes_in_however_large_it_is() -> None:
    """It alone covers half of the shelf; the fewest would be left out without it."""
    pieces = [pot("large", 350), *(pot(f"small {n}", 100) for n in range(30))]
    assert "large" in placed(full(ONE_SHELF, pieces))


def test_pots_that_stand_already_stay_and_others_come_around_them() -> None:
    kiln, pieces = one_layer(ANY_SHELF[2]), pots("round", 24)
    standing = (Layer(None, (Placement(pieces[0].id, 60.0, -31.5, 12.0),)),)
    load = full(kiln, pieces, standing)
    assert standing[0].placements[0] in load.layers[0].placements
    assert checked(kiln, pieces, load.layers) == ()


def test_layers_keep_their_heights_when_pots_are_exchanged() -> None:
    """Two layers; the tall pots stand only where posts let them."""
    kiln = replace(ONE_SHELF, usable_height_mm=420, posts_mm=(120.0,))
    tall = [pot(f"tall {n}", 120 + n, 200) for n in range(20)]
    low = [Piece(f"low {n}", 110 + n, 90, 95, Outline("oval")) for n in range(20)]
    load = full(kiln, [*tall, *low])
    assert [each.post_mm for each in load.layers] == [120, None]
    assert checked(kiln, [*tall, *low], load.layers) == ()
    assert {each.id[:3] for each in load.layers[0].placements} == {"low"}


def test_a_layer_for_which_nothing_waits_that_is_low_enough_stays_as_it_is() -> None:
    kiln = replace(ONE_SHELF, usable_height_mm=420, posts_mm=(120.0,))
    low = [pot("low", 400, 95)]
    tall = [pot(f"tall {n}", 120 + n, 200) for n in range(20)]
    load = full(kiln, [*low, *tall])
    assert [each.id for each in load.layers[0].placements] == ["low"]
    assert checked(kiln, [*low, *tall], load.layers) == ()


def test_where_all_fit_none_is_left_for_a_fuller_shelf() -> None:
    pieces = [pot(f"{n}", 120) for n in range(9)]
    load = full(ONE_SHELF, pieces)
    assert load == place_into(ONE_SHELF, pieces)
    assert load.unplaced == ()


def test_the_same_pots_fill_a_shelf_the_same_way() -> None:
    kiln, pieces = one_layer(ANY_SHELF[0]), pots(None, 24)
    first, second = (full(kiln, pieces) for _ in range(2))
    assert first == second
