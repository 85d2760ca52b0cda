"""Pots on one shelf as tables."""

from studio.kilns.packing.contact import NOTHING, Obstacles
from studio.kilns.packing.crowd import Ware
from studio.kilns.packing.inputs import Furniture, Piece, Shelf
from studio.kilns.packing.room import Room

from .kilns import POSTS_MM

GAP_MM = 6.0
SHELVES = (
    Shelf("round", 560, 560),
    Shelf("oval", 700, 500),
    Shelf("rectangle", 600, 500),
    Shelf("octagon", 600, 600),
)


def ware(shelf: Shelf, pieces: list[Piece], fixed: Obstacles = NOTHING) -> Ware:
    room = Room(Furniture(shelf, 800, 20, POSTS_MM, GAP_MM, 20))
    alone = [room.fits(each)[0] for each in pieces]
    return Ware(room.edge, pieces, alone, fixed, GAP_MM)
