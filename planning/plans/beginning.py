"""A plan before anything of it is measured."""

from planning.geometry.inputs import Outline
from planning.models.brief import Terms

from .inputs import Drawn, Line


def untouched(terms: Terms, lines: tuple[Line, ...]) -> Drawn:
    """A plan of which nothing is measured yet, with the brief's wall and base."""
    wall = float(terms.wall_mm)
    return Drawn(
        lines=lines,
        outline=Outline("round"),
        drawn_as="wet",
        wall_base_mm=wall,
        wall_rim_mm=wall,
        base_mm=float(terms.base_mm),
    )
