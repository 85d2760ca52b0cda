"""Overlap and its slopes, against closed forms and finite differences."""

import numpy as np
import pytest
import shapely

from studio.kilns.packing.contact import NOTHING
from studio.kilns.packing.crowd import Crowd, Ware, stood
from studio.kilns.packing.inputs import Furniture, Outline, Piece, Shelf
from studio.kilns.packing.room import Room
from studio.kilns.packing.shapes import outline_points
from studio.kilns.packing.tolerances import CONTACT_MM

from .kilns import POSTS_MM, pot, pots

GAP_MM = 6.0
SHELVES = (Shelf("round", 560, 560), Shelf("oval", 700, 500), Shelf("rectangle", 600, 500))


def ware(shelf: Shelf, pieces: list[Piece]) -> Ware:
    room = Room(Furniture(shelf, 800, 20, POSTS_MM, GAP_MM, 20))
    alone = [room.fits(each)[0] for each in pieces]
    return Ware(room.edge, pieces, alone, NOTHING, GAP_MM)


def test_two_round_pots_lack_what_their_centres_are_too_near() -> None:
    crowd = Crowd(ware(SHELVES[0], [pot("a", 100), pot("b", 120)]), np.array([[0, 1]]))
    at = np.array([[[-40.0, 0.0, 0.0], [40.0, 0.0, 0.0]]])
    energy, slopes = crowd.overlap(at, np.array([0]))
    lacking = 50 + 60 + GAP_MM + CONTACT_MM - 80
    assert energy == pytest.approx([lacking**2 / 2])
    assert slopes[0, :, 0] == pytest.approx([lacking, -lacking])


@pytest.mark.parametrize("shelf", SHELVES, ids=[each.shape for each in SHELVES])
def test_slopes_are_what_a_small_step_shows(shelf: Shelf) -> None:
    dice = np.random.default_rng(7)
    made = ware(shelf, pots(None, 12))
    who = np.tile(np.arange(12), (3, 1))
    at = np.concatenate((dice.uniform(-220, 220, (3, 12, 2)), dice.uniform(0, 300, (3, 12, 1))), 2)
    step = dice.normal(size=at.shape) * 1e-4
    step[..., 2][np.isinf(made.arms_mm[who])] = 0
    crowd, rows = Crowd(made, who), np.arange(3)
    _, slopes = crowd.overlap(at, rows)
    after, before = crowd.overlap(at + step, rows)[0], crowd.overlap(at - step, rows)[0]
    assert (after - before) / 2 == pytest.approx((slopes * step).sum(axis=(1, 2)), rel=1e-4)


def test_an_empty_place_overlaps_nothing() -> None:
    made = ware(SHELVES[2], [pot("a", 100)])
    crowd = Crowd(made, np.array([[0, made.nothing, made.nothing]]))
    energy, slopes = crowd.overlap(np.zeros((1, 3, 3)), np.array([0]))
    assert energy == [0]
    assert not slopes.any()


def test_pots_are_laid_only_where_every_gap_is_kept() -> None:
    """The gap as a geometry library measures it, a tenth of a millimetre this side and that."""
    pieces = pots("leaf", 2)
    made = ware(SHELVES[2], pieces)
    at = np.array([[-60.0, 0.0, 0.9 * made.arms_mm[0]], [110.0, 20.0, 0.3 * made.arms_mm[1]]])
    laid = stood(made, np.array([0, 1]), at)
    assert laid is not None
    one, other = (
        shapely.affinity.translate(
            shapely.affinity.rotate(
                shapely.Polygon(outline_points(each.piece)), each.fit.turn_deg, origin=(0, 0)
            ),
            *each.at,
        )
        for each in laid
    )
    spare = one.distance(other) - GAP_MM
    to = np.array(shapely.get_coordinates(shapely.shortest_line(one, other)))
    way = (to[0] - to[1]) / np.hypot(*(to[0] - to[1]))
    for short, kept in ((0.2, True), (-0.2, False)):
        nearer = at.copy()
        nearer[1, :2] += way * (spare - short)
        assert (stood(made, np.array([0, 1]), nearer) is not None) is kept


def test_a_pot_that_is_turned_out_of_its_only_turn_is_not_laid() -> None:
    """600 × 90 mm on 600 mm of width: turned by 0.1 it takes 600 cos 0.1 + 90 sin 0.1 = 606."""
    strip = Piece("a", 600, 90, 80, Outline("rounded_square", 0.0))
    made = ware(SHELVES[2], [strip])
    for turn, laid in ((0.0, True), (0.1, False)):
        at = np.array([[0.0, 0.0, turn * made.arms_mm[0]]])
        assert (stood(made, np.array([0]), at) is not None) is laid
