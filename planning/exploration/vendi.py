"""The Vendi score: how many wholly different things there are in effect."""

import numpy as np

from planning.tracing.arrays import Floats

_NOTHING = 1e-12


def vendi_score(similarity: Floats) -> float:
    """exp of the Shannon entropy of the eigenvalues of `similarity` / n.

    `similarity` (n, n) has a unit diagonal and no eigenvalue below 0. Friedman and Dieng 2022, The
    Vendi Score, definition 3.1. 0 of nothing.
    """
    if not len(similarity):
        return 0.0
    values = np.linalg.eigvalsh(similarity / len(similarity))
    values = values[values > _NOTHING]
    return float(np.exp(-(values * np.log(values)).sum()))
