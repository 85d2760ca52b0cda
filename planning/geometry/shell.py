"""The outer wall of a form that isn't elliptic: places, normals and slopes by station and node."""

from dataclasses import dataclass

import numpy as np

from .profile import Floats
from .rings import Rings
from .surface import HEIGHT, Surface
from .tolerances import NO_WIDTH_MM


@dataclass(frozen=True)
class Shell:
    """Places on the wall: `place`, `normal` (2, nodes, m) are horizontal, `run` (nodes, m) is
    |∂place/∂angle|, `height` (m,) or (nodes, m)."""

    place: Floats
    normal: Floats
    run: Floats
    height: Floats


def shell(surface: Surface, rings: Rings, s: Floats) -> Shell:
    """At meridian parameters `s`: (m,), the same for every node, or (nodes, m)."""
    front, depth, height = surface.curve.at(s)
    share = height / surface.height
    scale = np.stack((front, depth)) / rings.extent.at(share)[0]
    at, along = rings.at(share)
    shape = scale
    closing = (scale < NO_WIDTH_MM).all(axis=0)
    if closing.any():  # on the axis, where a section has the shape of the slopes
        slopes = np.abs(surface.curve.slopes_at(s)[:HEIGHT]) / rings.extent.at(share)[0]
        shape = np.where(closing, slopes + NO_WIDTH_MM, scale)
    x, y = shape[0] * along[0], shape[1] * along[1]
    run = np.hypot(x, y)
    place = np.stack((scale[0] * at[0], scale[1] * at[1]))
    return Shell(place, np.stack((y, -x)) / run, np.where(closing, 0, run), height)


def leanings(surface: Surface, rings: Rings, s: Floats, outer: Shell) -> tuple[Floats, Floats]:
    """How far the wall spreads along its horizontal normal (nodes, m) and rises (m,) with the
    parameter, at `s` (m,). What it moves along its own section is no matter."""
    front, depth, height = surface.curve.at(s)
    *slopes, rise = surface.curve.slopes_at(s)
    share, climb = height / surface.height, rise / surface.height
    extent, growth = rings.extent.at(share)
    scale = np.stack((front, depth)) / extent
    scale_slope = (np.stack(slopes) - scale * growth * climb) / extent
    at, _ = rings.at(share)
    spread = outer.normal[0] * scale_slope[0] * at[0] + outer.normal[1] * scale_slope[1] * at[1]
    if rings.changes:
        change = rings.change[..., np.newaxis] * climb
        spread += outer.normal[0] * scale[0] * change[0] + outer.normal[1] * scale[1] * change[1]
    return spread, rise
