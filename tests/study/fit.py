"""Fits the similarity to generated redrawings and prints the constants of `exploration.fitted`.

Run: python -m tests.study.fit (about ten minutes)
"""

import sys
from itertools import product
from unittest.mock import patch

import numpy as np
from scipy.optimize import minimize

from planning.exploration import fitted
from planning.exploration.copies import coincidence
from planning.exploration.poses import WAYS
from planning.exploration.similarity import compared, likeness
from tests.planning.exploration.ideas import FITTED, Array

from .drawings import again, made_up, read
from .figures import counted, pairs

FORMS = 300
TIMES = 5
SEED = 100_000
SETS = 200
HANDS = (0.5, 3.0)
COPIES = 400


def logistic(distances: Array, same: Array) -> Array:
    """(k + 1) weights and offset that make redrawings likely and other pairs unlikely, both
    kinds with equal weight; maximum likelihood (Cox 1958) with a touch of ridge."""
    middle, spread = distances.mean(axis=0), distances.std(axis=0)
    scaled = np.column_stack(((distances - middle) / spread, np.ones(len(distances))))
    sign = np.where(same, 1.0, -1.0)
    weight = np.where(same, 0.5 / same.sum(), 0.5 / (~same).sum())

    def loss(at: Array) -> tuple[float, Array]:
        margin = sign * (scaled @ at)
        slope = -weight * sign / (1 + np.exp(margin))
        ridge = 1e-4 * np.append(at[:-1], 0)
        return float(weight @ np.logaddexp(0, -margin) + ridge @ at / 2), scaled.T @ slope + ridge

    at = minimize(loss, np.zeros(scaled.shape[1]), jac=True, method="L-BFGS-B").x
    return np.append(at[:-1] / spread, at[-1] - (at[:-1] * middle / spread).sum())


def main() -> None:
    drawings = read(made_up(SEED, FORMS, FITTED), TIMES, SEED, shaky=HANDS)
    distances = drawings.distances()
    same = drawings.idea[:, None] == drawings.idea[None]
    *weights, offset = logistic(pairs(distances), pairs(same))
    sys.stdout.write(f"WEIGHTS: Final = {tuple(round(float(w), 3) for w in weights)}\n")

    def tried(down: float, at: float, most: float, least: float, sets: int):  # type: ignore[no-untyped-def]
        values = {"WEIGHTS": weights, "OFFSET": offset - down, "SAME": at}
        values |= {"SAME_FOR_FEWEST": most, "SAME_FOR_MOST": least}
        with patch.multiple(fitted, **values):
            return counted(drawings.idea, likeness(distances), sets, SEED)

    # Redrawings are rare among the pairs of a sheet, so less likely than the fit supposes.
    grid = product((0.0, 1.0, 2.0, 2.5, 3.0), (0.2, 0.3, 0.4, 0.5))
    error, down, at = min((tried(*each, each[1], each[1], SETS).error, *each) for each in grid)
    sys.stdout.write(f"OFFSET: Final = {offset - down:.2f}\nSAME: Final = {at}\n")
    sys.stdout.write(f"# mean error {error:.1%} with the fit's offset less {down}\n")
    for wide in (0.0, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35):
        ends = max(0.02, at - wide), min(0.98, at + wide)
        inside = tried(down, at, *ends, SETS).within_range
        sys.stdout.write(f"# from {ends[0]:.2f} to {ends[1]:.2f}: {inside:.0%} within\n")
    cases = again(made_up(SEED, COPIES, FITTED), SEED)
    told = []
    for case in cases:
        ways = compared([case.first[0], case.copy[0], case.redrawing[0]]).ways[0]
        told.append(
            [
                coincidence(case.first[1], one[1], WAYS[way])
                for one, way in zip((case.copy, case.redrawing), ways[1:], strict=True)
            ]
        )
    copies, redrawings = np.array(told).T
    limit = float(np.quantile(redrawings, 0.9975))
    sys.stdout.write(f"COPY: Final = {limit:.2f}\n# catches {np.mean(copies > limit):.0%}\n")


if __name__ == "__main__":
    main()
