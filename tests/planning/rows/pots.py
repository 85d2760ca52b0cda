"""Pots whose walls can be worked out by hand."""

import numpy as np
from numpy import pi

from planning.geometry.form import Form, form
from planning.geometry.inputs import Outline, Wall
from planning.rows.choices import Choices
from tests.planning.geometry.forms import inputs, points

DENSITY = 1.95

# Upright wall, outer radius 60, 8 thick, from a base of 10 up to 200.
CYLINDER = points((0, 60), (200, 60))


def pot(*rows: tuple[float, float], **changed: object) -> Form:
    """From (height, half-width) rows."""
    return form(inputs(points(*rows), **changed))


def cylinder(**changed: object) -> Form:
    return form(inputs(CYLINDER, **changed))


def bowl(radius: float = 100, foot_deg: float = -50, **changed: object) -> Form:
    """The lower half of a sphere, cut off where it leans by `foot_deg`; its middle is then
    -radius·sin(foot) above the table, and its rim is the equator."""
    turn = np.radians(np.linspace(foot_deg, 0, 41))
    low = radius * np.sin(turn[0])
    rows = zip(
        (radius * np.sin(turn) - low).tolist(), (radius * np.cos(turn)).tolist(), strict=True
    )
    return form(inputs(points(*rows), **changed))


def choices(coil_mm: float = 14, **changed: object) -> Choices:
    return Choices(coil_mm, DENSITY, **changed)  # type: ignore[arg-type]


def grams(mm3: float) -> float:
    return mm3 / 1000 * DENSITY


def coil_area(diameter: float) -> float:
    return pi * diameter**2 / 4


LEAF = Outline("leaf", 0.5)
SQUARE = Outline("rounded_square", 1.0, 0.3)
TAPERED = Wall(9, 6)
