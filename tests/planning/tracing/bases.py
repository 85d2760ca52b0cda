"""Outlines of bases at full size: round, oval, leaf, rounded square, hand-drawn."""

from dataclasses import dataclass

import numpy as np
import shapely

from .scene import Array, Camera, Canvas, Photo, photographed


@dataclass(frozen=True)
class Base:
    photo: Photo
    ring: shapely.LinearRing  # the truth: in mm from the middle of its box, y to the back


def base(
    shape: str,
    camera: Camera,
    seed: int,
    *,
    width_mm: float = 120.0,
    ruled_mm: float = 0.0,
    crossed: bool = False,
    open_mm: float = 0.0,
    dashed: bool = False,
    twice: bool = False,
    at_mm: tuple[float, float] = (117.0, 110.0),
    card: bool = True,
    darkness: float = 0.6,
) -> Base:
    """`crossed` draws two middle lines that run past the outline, `open_mm` leaves a gap."""
    rng = np.random.default_rng(seed)
    canvas = Canvas(240, 320, rng)
    canvas.paper(12, 12, 210, 297)
    for y in np.arange(30, 300, ruled_mm) if ruled_mm else ():
        canvas.stroke(np.array(((12.0, y), (222.0, y))), 0.3, 0.14, 0.0)
    points = SHAPES[shape](width_mm)
    centre = np.array(at_mm)
    line = centre + points * (1, -1)
    steps = np.hypot(*np.diff(line, axis=0).T)
    left = int(np.searchsorted(np.cumsum(steps), open_mm))
    for part in np.split(line, range(12, len(line) - 8, 12)) if dashed else (line[left:],):
        canvas.stroke(part[: 7 if dashed else None], 0.6, darkness, 0.5)
    if twice:
        canvas.stroke(centre - (0, 62) + points * (0.6, -0.6), 0.6, darkness, 0.5)
    if crossed:
        reach = width_mm / 2 + 12
        for ends in (((-reach, 0), (reach, 0)), ((0, -reach), (0, reach))):
            canvas.stroke(centre + np.array(ends), 0.4, 0.45, 0.4)
    if card:
        canvas.card(100, 255, 4)
    return Base(photographed(canvas, camera), shapely.LinearRing(points))


def _oval(width: float, ratio: float) -> Array:
    turn = np.linspace(0, 2 * np.pi, 721)
    return np.column_stack((width / 2 * np.cos(turn), ratio * width / 2 * np.sin(turn)))


def _leaf(width: float) -> Array:
    half, depth = width / 2, 0.25 * width
    radius = (half**2 + depth**2) / (2 * depth)
    reach = np.arcsin(half / radius)
    turn = np.linspace(-reach, reach, 361)
    arc = np.column_stack((radius * np.sin(turn), radius * np.cos(turn) - (radius - depth)))
    return np.concatenate((arc, -arc[1:]))


def _square(width: float) -> Array:
    square = shapely.box(-width / 2, -width / 2, width / 2, width / 2)
    corner = 0.2 * width
    ring = square.buffer(-corner).buffer(corner, quad_segs=64).exterior
    at = np.linspace(0, ring.length, 1200)
    return np.array([ring.interpolate(each).coords[0] for each in at])


SHAPES = {
    "round": lambda width: _oval(width, 1.0),
    "oval": lambda width: _oval(width, 0.6),
    "leaf": _leaf,
    "rounded_square": _square,
}
