"""A plan seen from above: the outlines of its base and rim at the sizes that were computed."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from planning.geometry.inputs import Outline
from planning.geometry.outline import radial
from planning.pictures.from_above import FromAbove, from_above
from planning.pictures.outline import Point

from .inputs import Drawn

DIRECTIONS = 96


def seen_from_above(drawn: Drawn, answer: Mapping[str, Any]) -> FromAbove | None:
    """None for a pot that is round everywhere, or was kept without its height lines."""
    lines = answer.get("height_lines")
    if drawn.is_round or not lines:
        return None
    return from_above(
        _outline(drawn.outline, lines[0]),
        _outline(drawn.rim_outline or drawn.outline, lines[-1]),
    )


def _outline(outline: Outline, line: Mapping[str, float]) -> list[Point]:
    """The outline as wide and deep as the pot is on this height line; none at a closed top."""
    if line["front_mm"] <= 0:
        return []
    shape = radial(outline)
    even = np.linspace(0, 2 * np.pi, DIRECTIONS, endpoint=False)
    angles = np.unique(np.concatenate((even, shape.joints)))
    radii, _slopes = shape.radii(angles, angles)
    x = radii * np.cos(angles) * line["front_mm"] / 2
    y = radii * np.sin(angles) * line["depth_mm"] / 2 / shape.depth
    return list(zip(x.tolist(), y.tolist(), strict=True))
