"""How the pots of a load would stand: worked out before the lock under which it is written, so that
nobody waits for the computing, and again under it only if what it follows from changed meanwhile.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

from studio.kilns.furnished import Furnished, Stock
from studio.kilns.halves import laid_out
from studio.kilns.packing.inputs import Furniture, Layer, Piece
from studio.kilns.refusal import KilnRefused
from studio.kilns.selectors.loads import furniture_of, stock_of
from studio.kilns.wording import refused
from studio.room.models import Kiln


@dataclass(frozen=True)
class Asked:
    """All that a layout follows from: pots that stand in the layers, and pots that wait."""

    furniture: Furniture
    stock: Stock
    pieces: tuple[Piece, ...]
    layers: tuple[Layer, ...]

    @classmethod
    def of(cls, kiln: Kiln, pieces: Sequence[Piece], layers: Sequence[Layer]) -> Self:
        stock = stock_of(kiln)
        return cls(furniture_of(kiln, stock), stock, tuple(pieces), tuple(layers))

    def layout(self) -> Furnished:
        """Raises Refused where it can't be computed."""
        try:
            return laid_out(self.furniture, self.stock, self.pieces, self.layers, fullest=True)
        except KilnRefused as refusal:
            raise refused(refusal.problems) from None
