"""The clay of a pot as a closed mesh of triangles, for whoever prints a gauge of it.

The corner coil isn't in it, as it isn't in the drawing; nor are added parts.

>>> solid = clay_solid(inputs, form(inputs))
>>> solid.vertices.shape, solid.faces.shape
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .form import Form
from .inputs import PlanInputs
from .profile import Floats
from .skin import FOR_MAKING, Skin, skin
from .tolerances import NO_WIDTH_MM


@dataclass(frozen=True)
class Mesh:
    """`vertices` (v, 3), mm, z upwards from the table; `faces` (f, 3), counter-clockwise seen from
    outside the clay. Every edge belongs to two faces."""

    vertices: Floats
    faces: NDArray[np.intp]

    def scaled(self, by: float) -> "Mesh":
        return Mesh(self.vertices * by, self.faces)


def clay_solid(inputs: PlanInputs, made: Form) -> Mesh:
    """The wet clay: wall, base and foot ring."""
    drawn = skin(inputs, made, FOR_MAKING)
    return _together([_shell(rings) for rings in _shells(drawn)])


def _shells(drawn: Skin) -> list[Floats]:
    """Rings (k, n, 3) of each closed surface, in the order in which a hand follows it: from under
    the middle outwards, up the outside, over the rim and down to the floor."""
    down = drawn.inside[::-1]
    up = drawn.outside
    if drawn.foot is not None:
        under = np.concatenate((drawn.foot[::-1], drawn.outside[:1]))
        under[-1, :, 2] = 0.0
        up = np.concatenate((under, up))
    return [up, down] if drawn.closed else [np.concatenate((up, down))]


def _shell(rings: Floats) -> Mesh:
    """The surface over rings in order, closed by a fan at either end."""
    tips = [rings[end].mean(axis=0) for end in (0, -1)]
    # A ring that has shrunk to a point is the tip itself.
    wide = np.ptp(rings, axis=1).max(axis=1) > NO_WIDTH_MM
    rings = rings[wide]
    count, columns = rings.shape[:2]
    place = np.arange(count * columns).reshape(count, columns)
    after = np.roll(place, -1, axis=1)
    low, high, low_after, high_after = place[:-1], place[1:], after[:-1], after[1:]
    bottom, top = count * columns, count * columns + 1
    faces = [
        np.stack((low, low_after, high_after), axis=-1),
        np.stack((low, high_after, high), axis=-1),
        np.stack((np.full(columns, bottom), after[0], place[0]), axis=-1),
        np.stack((np.full(columns, top), place[-1], after[-1]), axis=-1),
    ]
    return Mesh(
        np.concatenate((rings.reshape(-1, 3), tips)),
        np.concatenate([each.reshape(-1, 3) for each in faces]),
    )


def _together(meshes: list[Mesh]) -> Mesh:
    starts = np.cumsum([0, *(len(each.vertices) for each in meshes[:-1])])
    return Mesh(
        np.concatenate([each.vertices for each in meshes]),
        np.concatenate([each.faces + at for each, at in zip(meshes, starts, strict=True)]),
    )
