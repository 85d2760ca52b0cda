"""Chance with a name. No Django here."""

import numpy as np


def chance(rng: np.random.Generator, odds: float) -> bool:
    """Return whether something of these odds (0 to 1) happens this time."""
    return bool(rng.random() < odds)
