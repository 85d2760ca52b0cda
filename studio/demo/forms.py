"""Pot ideas as curves: read from a file, varied a little, and carried step by step to a plan.

A form is `size` free: heights and half-widths are parts of the pot's height. No Django here.
"""

import tomllib
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

STATIONS = 48  # points along one side: finer than a pencil line at thumbnail size

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Form:
    """One pot idea.

    `left` and `right` are (n, 2) arrays of [height, half-width] from the base edge to the rim,
    heights 0 to 1, half-widths in parts of the height.
    """

    name: str
    family: str
    source: str
    left: Floats
    right: Floats
    marks: str = "plain"
    parts: tuple[str, ...] = ()

    @property
    def half_width(self) -> float:
        """Widest half-width, in parts of the height."""
        return float(max(self.left[:, 1].max(), self.right[:, 1].max()))

    def half_width_at(self, height: float) -> float:
        """Mean half-width at a height (0 to 1), in parts of the height."""
        left = np.interp(height, self.left[:, 0], self.left[:, 1])
        right = np.interp(height, self.right[:, 0], self.right[:, 1])
        return float((left + right) / 2)


def smooth_side(points: Floats, stations: int = STATIONS) -> Floats:
    """Return (stations, 2) points of a curve through `points` that doesn't overshoot between them.

    `points` is (n, 2) [height, half-width]; monotone cubic on chord length.
    """
    chord = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    at = np.linspace(0.0, chord[-1], stations)
    return np.asarray(PchipInterpolator(chord, points)(at), dtype=np.float64)


def forms_from(path: Path) -> dict[str, Form]:
    """Read the pot ideas of a forms file by name. Raise `ValueError` for a name used twice."""
    forms: dict[str, Form] = {}
    for row in tomllib.loads(path.read_text(encoding="utf-8"))["forms"]:
        if row["name"] in forms:
            raise ValueError(f"{path.name}: two forms are called {row['name']!r}")
        side = smooth_side(np.array(row["side"], dtype=np.float64))
        parts = tuple(row.get("parts", ()))
        forms[row["name"]] = Form(
            row["name"], row["family"], row["source"], side, side, row["marks"], parts
        )
    return forms


def form_from_plan(name: str, levels: Floats, *, like: Form) -> Form:
    """Return the form of a measured plan.

    `levels` is (n, 3) [height, left, right] in mm from the table to the rim; parts and surface
    are taken from `like`.
    """
    height_mm = levels[-1, 0]
    left = smooth_side(levels[:, :2] / height_mm)
    right = smooth_side(levels[:, [0, 2]] / height_mm)
    return replace(like, name=name, left=left, right=right)


def varied(form: Form, seed: int, amount: float = 0.12) -> Form:
    """Return the idea as another hand would draw it: wider here, higher there.

    `amount` is the relative change of widths; the same change on both sides. Same seed, same form.
    """
    rng = np.random.default_rng(seed)
    knots = np.linspace(0.0, 1.0, 4)
    widths = 1.0 + amount * rng.uniform(-1.0, 1.0, 4)
    middle = float(np.clip(0.5 + 0.5 * amount * rng.uniform(-1.0, 1.0), 0.35, 0.65))

    def side(points: Floats) -> Floats:
        height, half = points.T
        moved = PchipInterpolator([0.0, 0.5, 1.0], [0.0, middle, 1.0])(height)
        return np.column_stack([moved, half * PchipInterpolator(knots, widths)(height)])

    return replace(form, left=side(form.left), right=side(form.right))


def between(first: Form, last: Form, part: float) -> Form:
    """Return the form a `part` (0 to 1) of the way from one to the other, dressed as the last."""

    def side(a: Floats, b: Floats) -> Floats:
        return np.asarray((1.0 - part) * a + part * b, dtype=np.float64)

    return replace(last, left=side(first.left, last.left), right=side(first.right, last.right))
