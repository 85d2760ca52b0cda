"""Ears, lids, feet, spouts and the like: what students add to a pot, each in a few strokes.

Points are [across, up] in parts of the pot's height, from the middle of its foot. No Django here.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from studio.demo.forms import Form

Floats = NDArray[np.float64]


def _ear(form: Form, low: float, high: float, out: float) -> list[Floats]:
    at = np.linspace(low, high, 20)
    bulge = out * np.sin(np.pi * (at - low) / (high - low)) ** 0.8
    inner = np.array([form.half_width_at(float(h)) for h in (low, high)])
    base = np.interp(at, [low, high], inner)
    rings = [np.column_stack([base + bulge * k, at]) for k in (1.0, 0.66)]
    return [ring * [sign, 1.0] for ring in rings for sign in (-1.0, 1.0)]


def _loop(form: Form) -> list[Floats]:
    turn = np.linspace(0, np.pi, 24)
    wide = form.half_width_at(0.95) + 0.02
    return [
        np.column_stack([k * wide * np.cos(turn), 0.96 + k * 0.26 * np.sin(turn)])
        for k in (1.0, 1.16)
    ]


def _spout(form: Form) -> list[Floats]:
    root = form.half_width_at(0.62)
    return [
        np.array([[root, 0.58], [root + 0.12, 0.66], [root + 0.2, 0.84]]),
        np.array([[root - 0.01, 0.72], [root + 0.08, 0.76], [root + 0.13, 0.86]]),
        np.array([[root + 0.2, 0.84], [root + 0.13, 0.86]]),
    ]


def _lid(form: Form) -> list[Floats]:
    wide = form.half_width_at(1.0) * 1.12
    turn = np.linspace(0, np.pi, 20)
    dome = np.column_stack([wide * np.cos(turn), 1.02 + 0.11 * np.sin(turn)])
    knob = np.column_stack([0.045 * np.cos(2 * turn), 1.175 + 0.04 * np.sin(2 * turn)])
    return [dome, knob]


def _feet(form: Form) -> list[Floats]:
    foot = form.half_width_at(0.06)
    return [
        np.array([[x - 0.04, 0.05], [x - 0.03, -0.06], [x + 0.03, -0.06], [x + 0.04, 0.05]])
        for x in (-0.85 * foot, 0.0, 0.85 * foot)
    ]


def _stalk(_form: Form) -> list[Floats]:
    return [
        np.array([[-0.03, 1.0], [-0.02, 1.08], [0.03, 1.17]]),
        np.array([[0.03, 1.0], [0.04, 1.07], [0.08, 1.15]]),
    ]


def _lip(form: Form) -> list[Floats]:
    wide = form.half_width_at(1.0)
    return [np.array([[wide, 0.99], [wide + 0.12, 1.06], [wide * 0.4, 1.03], [-wide, 1.0]])]


PARTS: dict[str, Callable[[Form], list[Floats]]] = {
    "ears": lambda form: _ear(form, 0.55, 0.9, 0.2),
    "lugs": lambda form: _ear(form, 0.68, 0.8, 0.07),
    "loop": _loop,
    "spout": _spout,
    "lid": _lid,
    "feet": _feet,
    "stalk": _stalk,
    "lip": _lip,
}
