"""How alike the forms of drawings are: 1 for the same, about 0 for two ideas.

Three distances of two silhouettes at their best mirror and tilt, joined by logistic regression
into the chance that one hand meant the same form twice (`fitted` says how it was fitted).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from planning.tracing.arrays import Floats

from . import fitted
from .poses import WAYS, Poses

Whole = np.ndarray[tuple[int, ...], np.dtype[np.int64]]


@dataclass(frozen=True)
class Compared:
    """Each form with each other, (n, n): `distances` (n, n, 3) and the number in `WAYS` by which
    the second comes to lie on the first."""

    distances: Floats
    ways: Whole


def compared(forms: Sequence[Poses]) -> Compared:
    """Distances of every two forms: of directions (the root of 1 − cosine), of depth (root mean
    square, pixels), and of edges (the root of chamfer pixels, Barrow and others 1977).
    """
    count, ways = len(forms), len(WAYS)
    directions, depth, edge = (
        np.array([getattr(form, name) for form in forms])
        for name in ("directions", "depth", "edge")
    )

    def against(first: np.ndarray, posed: np.ndarray) -> Floats:
        products = first @ posed.reshape(count * ways, -1).T
        return np.asarray(products.reshape(count, count, ways), dtype=np.float64)

    upright = depth[:, 0]
    squares = (upright**2).sum(axis=1)[:, None, None] + (depth**2).sum(axis=2)[None]
    apart = np.maximum(squares - 2 * against(upright, depth), 0) / depth.shape[2]
    cosines = against(directions[:, 0], directions)
    edges = against(edge[:, 0], np.abs(depth)) + against(np.abs(upright), edge)
    found = apart.argmin(axis=2)
    each = [
        np.take_along_axis(table, found[..., None], axis=2)[..., 0]
        for table in (1 - cosines, apart, edges)
    ]
    # Of one laid on the other and the other on the one, the better; of equals the first.
    better = (each[1] < each[1].T) | ((each[1] == each[1].T) & np.tri(count, dtype=bool))
    told = [np.sqrt(np.maximum(np.where(better, table, table.T), 0)) for table in each]
    return Compared(np.stack(told, axis=2), found)


def likeness(distances: Floats) -> Floats:
    """The chance that two forms are one idea, (n, n) from (n, n, 3); its diagonal is 1."""
    chance = 1 / (1 + np.exp(-(distances @ np.array(fitted.WEIGHTS) + fitted.OFFSET)))
    chance = (chance + chance.T) / 2
    np.fill_diagonal(chance, 1)
    return np.asarray(chance)


def kernel(chance: Floats) -> Floats:
    """The likeness as a similarity whose eigenvalues are none below 0, its diagonal 1.

    What is below is cut off and the rest brought back to a unit diagonal (Higham 2002 calls it
    the usual repair; it moves entries by little, since few are below and by little).
    """
    values, vectors = np.linalg.eigh(chance)
    whole = (vectors * np.maximum(values, 0)) @ vectors.T
    size = np.sqrt(np.diag(whole))
    whole = whole / np.outer(size, size)
    np.fill_diagonal(whole, 1)
    return np.asarray((whole + whole.T) / 2)
