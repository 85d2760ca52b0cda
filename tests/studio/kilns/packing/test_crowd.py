"""Whether pots may be laid where a crowd came to rest, against a geometry library."""

import numpy as np
import shapely

from studio.kilns.packing.crowd import stood
from studio.kilns.packing.inputs import Outline, Piece
from studio.kilns.packing.shapes import outline_points

from .kilns import pots
from .wares import GAP_MM, SHELVES, ware


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
