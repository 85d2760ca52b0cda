"""What is no kiln, no pot or no layer is refused at its field."""

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest

from studio.kilns.packing.inputs import Furniture, Layer, Outline, Piece, Placement, Shelf, Spot
from studio.kilns.packing.load import place_into
from studio.kilns.refusal import KilnRefused, Trouble

from .kilns import ROUND_KILN, pot

POT = pot("a", 100)


def refusal(
    kiln: Furniture, pieces: Sequence[Piece], layers: Sequence[Layer] = ()
) -> tuple[Trouble, ...]:
    with pytest.raises(KilnRefused) as refused:
        place_into(kiln, pieces, layers)
    return refused.value.problems


@pytest.mark.parametrize(
    ("kiln", "path", "message"),
    [
        (replace(ROUND_KILN, shelf=Shelf("star", 9, 9)), "shelf.shape", "A shelf is round"),  # type: ignore[arg-type]
        (replace(ROUND_KILN, shelf=Shelf("oval", 0, 9)), "shelf.width_mm", "more than 0"),
        (replace(ROUND_KILN, shelf=Shelf("oval", 9, 5001)), "shelf.depth_mm", "Check the unit."),
        (replace(ROUND_KILN, usable_height_mm=-1), "usable_height_mm", "more than 0"),
        (replace(ROUND_KILN, shelf_thickness_mm=math.nan), "shelf_thickness_mm", "ordinary number"),
        (replace(ROUND_KILN, clearance_mm=-1), "clearance_mm", "can't be less than 0"),
        (replace(ROUND_KILN, headroom_mm=math.inf), "headroom_mm", "ordinary number"),
        (replace(ROUND_KILN, posts_mm=(100, 0)), "posts_mm.1", "more than 0"),
        (
            replace(ROUND_KILN, post_footprints=(Spot(math.nan, 0, 20),)),
            "post_footprints.0.x_mm",
            "ordinary number",
        ),
        (replace(ROUND_KILN, reserved=(Spot(0, 0, 0),)), "reserved.0.diameter_mm", "more than 0"),
    ],
)
def test_a_kiln_that_is_none_is_refused_at_its_field(
    kiln: Furniture, path: str, message: str
) -> None:
    [trouble] = refusal(kiln, [POT])
    assert trouble.path == path
    assert message in trouble.message


def traced(*points: tuple[float, float]) -> Outline:
    return Outline("traced", points=points)


@pytest.mark.parametrize(
    ("piece", "path", "message"),
    [
        (replace(POT, front_mm=0), "pieces.0.front_mm", "more than 0"),
        (replace(POT, depth_mm=math.nan), "pieces.0.depth_mm", "ordinary number"),
        (replace(POT, height_mm=6000), "pieces.0.height_mm", "6000 mm is too much."),
        (replace(POT, outline=Outline("cross")), "pieces.0.outline.shape", "leaf"),  # type: ignore[arg-type]
        (
            replace(POT, outline=Outline("rounded_square", 1.5)),
            "pieces.0.outline.corner_ratio",
            "between 0 and 1",
        ),
        (replace(POT, outline=traced()), "pieces.0.outline.points", "at least three points"),
        (
            replace(POT, outline=traced((0, 0), (1, 1), (2, 2))),
            "pieces.0.outline.points",
            "at least three points around an area",
        ),
        (
            replace(POT, outline=traced((0, 0), (1, math.inf), (2, 0))),
            "pieces.0.outline.points.1",
            "ordinary number",
        ),
        (
            replace(POT, outline=traced(*[(n, n * n) for n in range(401)])),
            "pieces.0.outline.points",
            "at most 400 points",
        ),
    ],
)
def test_a_pot_that_is_none_is_refused_at_its_field(piece: Piece, path: str, message: str) -> None:
    [trouble] = refusal(ROUND_KILN, [piece])
    assert trouble.path == path
    assert message in trouble.message


def test_a_pot_listed_twice_is_named() -> None:
    [trouble] = refusal(ROUND_KILN, [POT, POT])
    assert (trouble.path, trouble.message) == (
        "pieces.1.id",
        "a is listed twice. Each pot stands in a kiln once.",
    )


def test_more_pots_than_any_kiln_holds_are_refused() -> None:
    [trouble] = refusal(ROUND_KILN, [pot(f"{n}", 100) for n in range(401)])
    assert (trouble.path, "at most 400 pots" in trouble.message) == ("pieces", True)


@pytest.mark.parametrize(
    ("layers", "path", "message"),
    [
        ([Layer(0), Layer(None)], "layers.0.post_mm", "more than 0"),
        ([Layer(None), Layer(None)], "layers.0.post_mm", "needs its posts"),
        ([Layer(None, (Placement("b", 0, 0),))], "layers.0.placements.0.id", "b stands on a shelf"),
        (
            [Layer(100, (Placement("a", 0, 0),)), Layer(None, (Placement("a", 0, 0),))],
            "layers.1.placements.0.id",
            "a is listed twice",
        ),
        (
            [Layer(None, (Placement("a", math.nan, 0),))],
            "layers.0.placements.0.x_mm",
            "ordinary number",
        ),
        (
            [Layer(None, (Placement("a", 0, 9999),))],
            "layers.0.placements.0.y_mm",
            "Check the unit.",
        ),
    ],
)
def test_layers_that_can_not_stand_are_refused(
    layers: list[Layer], path: str, message: str
) -> None:
    [trouble] = refusal(ROUND_KILN, [POT], layers)
    assert trouble.path == path
    assert message in trouble.message
