"""Kilns and pots that the tests of packing share. Sizes are invented, of a usual school kind."""

import numpy as np

from studio.kilns.packing.inputs import Furniture, Outline, OutlineShape, Piece, Shelf, Spot

POSTS_MM = (100.0, 150.0, 200.0, 250.0, 300.0)
CORNER_POSTS = (Spot(-285, -235, 40), Spot(285, -235, 40), Spot(0, 235, 40))

ROUND_KILN = Furniture(Shelf("round", 560, 560), 800, 20, POSTS_MM, 6, 20)
SQUARE_KILN = Furniture(
    Shelf("rectangle", 600, 500), 800, 20, POSTS_MM, 6, 20, post_footprints=CORNER_POSTS
)

ONE_SHELF = Furniture(Shelf("round", 500, 500), 200, 20, (), 6, 20)

# Radius of the least circle around n equal ones ÷ theirs. Kravitz 1967, table in a public sample
# model (lindo.com packcrcl), published; 10, 12, 14, 16, 17, 20 recomputed by a numerical search.
EQUAL_CIRCLES = {
    1: 1, 2: 2, 3: 2.154701, 4: 2.414214, 5: 2.701302, 6: 3, 7: 3, 8: 3.304765, 9: 3.613126,
    10: 3.813026, 11: 3.923804, 12: 4.029602, 13: 4.236068, 14: 4.328429, 15: 4.521357,
    16: 4.615426, 17: 4.792034, 18: 4.863703, 19: 4.863703, 20: 5.122321,
}  # fmt: skip


def pot(name: str, wide_mm: float, height_mm: float = 100) -> Piece:
    return Piece(name, wide_mm, wide_mm, height_mm)


def pots(shape: OutlineShape | None, count: int = 35, seed: int = 3) -> list[Piece]:
    """Pots of one outline, or of four in turn."""
    rng = np.random.default_rng(seed)
    turn: tuple[OutlineShape, ...] = ("round", "oval", "leaf", "rounded_square")
    made = []
    for n in range(count):
        kind = shape or turn[n % 4]
        front = float(rng.uniform(90, 200))
        depth = front if kind in {"round", "rounded_square"} else front * rng.uniform(0.5, 0.9)
        outline = Outline(kind, 0.3)
        made.append(Piece(f"P{n}", front, float(depth), float(rng.uniform(100, 260)), outline))
    return made
