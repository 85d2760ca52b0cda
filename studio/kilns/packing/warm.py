"""Compiles what a load needs whose pots don't all fit, so that nobody waits for it: once after an
install or an update, `python -m studio.kilns.packing.warm`.
"""

from .inputs import Furniture, Outline, Piece, Shelf
from .load import Load, place_into

SHELVES = (Shelf("round", 300, 300), Shelf("rectangle", 300, 300))


def warm() -> list[Load]:
    """Round pots and ovals, far more than fit, on a curved and a straight edge; little effort."""
    pieces = [Piece(f"oval {n}", 90, 70 + n, 50, Outline("oval")) for n in range(12)]
    pieces += [Piece(f"round {n}", 80 + n, 80 + n, 50) for n in range(24)]
    kilns = (Furniture(each, 100, 20, (), 6, 20) for each in SHELVES)
    return [place_into(each, pieces, fullest=True, pairs=20_000) for each in kilns]


if __name__ == "__main__":  # pragma: no cover -- what it calls is tested
    warm()
