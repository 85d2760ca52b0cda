"""Every drawing of the demo: which form, in whose sketchbook, rendered on request.

Seeds come from the piece's key and the drawing's number, so that a second load makes the same
pictures. No Django here.
"""

from dataclasses import dataclass
from zlib import crc32

import numpy as np

from studio.demo.dice import chance
from studio.demo.forms import Form, between, varied
from studio.demo.material import Material, Piece
from studio.demo.sketchbook import refinement_photo, sketchbook_of, thumbnail_photo

REDRAWN = 0.14  # how far two drawings of one idea lie apart, in parts of the widths


@dataclass(frozen=True)
class Drawing:
    """One photograph that a student will send for the piece of this key; numbers count from 1."""

    piece: str
    number: int
    form: Form
    label: str = ""
    is_refinement: bool = False

    @property
    def file_name(self) -> str:
        """As a phone would call it."""
        return f"IMG_{2000 + _seed(self.piece, self.number, self.is_refinement) % 7000}.jpg"

    def photo(self) -> bytes:
        """The JPEG; takes about 50 ms."""
        book = sketchbook_of(crc32(self.piece.partition("/")[0].encode()))
        seed = _seed(self.piece, self.number, self.is_refinement)
        taken = refinement_photo if self.is_refinement else thumbnail_photo
        return taken(book, self.form, seed, self.label)


def drawings_of(piece: Piece, material: Material) -> list[Drawing]:
    """Thumbnails and then refinements of one piece, in the order drawn."""
    thumbnails = [
        Drawing(piece.key, number, _idea(piece, number, material), _label(piece, number, name))
        for number, name in enumerate(piece.thumbnails, start=1)
    ]
    return thumbnails + list(_refinements(piece, material))


def _idea(piece: Piece, number: int, material: Material) -> Form:
    form = material.forms[piece.thumbnails[number - 1]]
    return varied(form, _seed(piece.key, number), REDRAWN)


def _refinements(piece: Piece, material: Material) -> list[Drawing]:
    """The chosen drawing, carried towards the plan in steps that get smaller."""
    if piece.chosen is None:
        return []
    first = _idea(piece, piece.chosen, material)
    goal = varied(first, _seed(piece.key, 0), 2 * REDRAWN)
    if piece.plan:
        goal = material.profiles[piece.plan].drawn(material.forms)
    return [
        Drawing(piece.key, step, between(first, goal, 1 - 0.45**step), is_refinement=True)
        for step in range(1, piece.refinements + 1)
    ]


def _label(piece: Piece, number: int, name: str) -> str:
    """Some write a number beside each drawing, some now and then the thing it came from."""
    rng = np.random.default_rng(crc32(piece.key.encode()))
    if chance(rng, 0.3):
        return str(number)
    mine = np.random.default_rng(_seed(piece.key, number))
    return name if chance(rng, 0.4) and chance(mine, 0.6) else ""


def _seed(piece: str, number: int, is_refinement: bool = False) -> int:
    return crc32(f"{piece}/{'r' if is_refinement else 't'}{number}".encode())
