"""Forms that nobody has made, and how a hand redraws one of them: outlines with known sameness.

An outline is (n, 2), closed, about one unit large, y downwards. Families named in `FITTED` are for
fitting the similarity; those in `UNSEEN` are only for checking it.
"""

from collections.abc import Callable
from typing import Any

import cv2
import numpy as np
from scipy.interpolate import PchipInterpolator

Array = np.ndarray[Any, np.dtype[Any]]
POINTS = 240


def even(outline: Array, count: int = POINTS) -> Array:
    """The closed outline in `count` even steps."""
    ring = np.vstack((outline, outline[:1]))
    along = np.concatenate(([0], np.cumsum(np.hypot(*np.diff(ring, axis=0).T))))
    at = np.linspace(0, along[-1], count, endpoint=False)
    return np.column_stack([np.interp(at, along, ring[:, k]) for k in (0, 1)])


def unit(outline: Array) -> Array:
    """Its middle at the origin, the longer side of its box 1."""
    low, high = outline.min(axis=0), outline.max(axis=0)
    return np.asarray((outline - (low + high) / 2) / (high - low).max())


def _revolved(heights: Array, halves: Array) -> Array:
    right = np.column_stack((halves, -heights))
    return np.vstack((right, right[::-1] * (-1, 1)))


def vessel(rng: np.random.Generator) -> Array:
    """A pot's profile through a few free knots, as high as it likes."""
    knots = int(rng.integers(3, 8))
    at = np.concatenate(([0], np.sort(rng.uniform(0.08, 0.92, knots - 2)), [1]))
    halves = rng.uniform(0.06, 0.5, knots)
    heights = np.linspace(0, 1, 90)
    return _revolved(heights * rng.uniform(0.6, 1.8), PchipInterpolator(at, halves)(heights))


def eared(rng: np.random.Generator) -> Array:
    """A vessel with ears, a spout, a lid or feet."""
    body = unit(vessel(rng))
    canvas = filled(body)
    for _ in range(int(rng.integers(1, 3))):
        side = rng.choice((-1, 1))
        y = rng.uniform(-0.35, 0.3)
        row = body[np.abs(body[:, 1] - y) < 0.04]
        edge = float(np.abs(row[:, 0]).max()) if len(row) else 0.2
        size = rng.uniform(0.08, 0.2)
        axes = (size * rng.uniform(0.5, 1.2), size)
        both = (side, -side) if rng.random() < 0.5 else (side,)
        for way in both:
            _ellipse(canvas, (way * (edge + 0.3 * axes[0]), y), axes, rng.uniform(-25, 25) * way)
    return outline_of(canvas)


def blob(rng: np.random.Generator) -> Array:
    """An organic form: a ring with a few slow waves."""
    turn = np.linspace(0, 2 * np.pi, POINTS, endpoint=False)
    radius = np.ones(POINTS)
    for wave in range(2, int(rng.integers(4, 8))):
        radius += rng.normal(0, 0.32 / wave) * np.cos(wave * turn + rng.uniform(0, 2 * np.pi))
    radius = np.maximum(radius, 0.2)
    stretch = rng.uniform(0.45, 1.0), 1.0
    return unit(np.column_stack((np.cos(turn), np.sin(turn))) * radius[:, None] * stretch)


def lumps(rng: np.random.Generator) -> Array:
    """Two to five round lumps grown together."""
    canvas = np.zeros((400, 400), np.uint8)
    at = np.zeros(2)
    for _ in range(int(rng.integers(2, 6))):
        axes = rng.uniform(0.08, 0.3, 2)
        _ellipse(canvas, tuple(at), tuple(axes), rng.uniform(0, 180), 0.5)
        direction = rng.uniform(0, 2 * np.pi)
        at = at + 0.8 * axes.min() * np.array((np.cos(direction), np.sin(direction)))
    return outline_of(canvas)


def leaf(rng: np.random.Generator) -> Array:
    """A leaf or pod that bends to one side."""
    at = np.linspace(0, 1, 100)
    half = rng.uniform(0.12, 0.45) * at ** rng.uniform(0.4, 1.4) * (1 - at) ** rng.uniform(0.4, 1.4)
    half *= 2.2
    waves = int(rng.integers(0, 7))
    half *= 1 + rng.uniform(0, 0.35) * np.sin(2 * np.pi * waves * at)
    bend = rng.uniform(0, 0.5) * np.sin(np.pi * at)
    spine = np.column_stack((bend, -at))
    return unit(
        np.vstack(
            (
                spine + np.column_stack((half, 0 * at)),
                (spine - np.column_stack((half, 0 * at)))[::-1],
            )
        )
    )


def cut_paper(rng: np.random.Generator) -> Array:
    """Straight cuts: a polygon of four to nine corners round a middle."""
    corners = int(rng.integers(4, 10))
    turn = np.sort(
        np.linspace(0, 2 * np.pi, corners, endpoint=False) + rng.uniform(-0.25, 0.25, corners)
    )
    radius = rng.uniform(0.35, 1.0, corners)
    return unit(even(np.column_stack((np.cos(turn), np.sin(turn))) * radius[:, None]))


def stacked(rng: np.random.Generator) -> Array:
    """Straight-sided storeys on each other: cylinders, cones and rings."""
    halves: list[float] = []
    heights: list[float] = []
    height = 0.0
    for _ in range(int(rng.integers(2, 5))):
        tall = rng.uniform(0.15, 0.6)
        heights += [height, height + tall]
        halves += [rng.uniform(0.1, 0.5), rng.uniform(0.1, 0.5)]
        height += tall
    return unit(even(_revolved(np.array(heights), np.array(halves))))


def spun(rng: np.random.Generator) -> Array:
    """A lobed ring, as a shell, a star or a flower from above, cut level below."""
    turn = np.linspace(0, 2 * np.pi, POINTS, endpoint=False)
    lobes = int(rng.integers(2, 8))
    power = rng.uniform(0.3, 3)
    wave = np.abs(np.cos(lobes * turn / 2)) ** power
    radius = 1 - rng.uniform(0.1, 0.7) * (1 - wave) + rng.uniform(0, 0.3) * np.sin(turn)
    ring = np.column_stack((np.cos(turn), np.sin(turn))) * radius[:, None]
    ring[:, 0] *= rng.uniform(0.5, 1.6)
    ring[:, 1] = np.minimum(ring[:, 1], rng.uniform(0.3, 1.0))
    return unit(ring)


def crooked(rng: np.random.Generator) -> Array:
    """A bent tube that changes its thickness."""
    at = np.linspace(0, 1, 80)
    angle = np.cumsum(
        rng.normal(0, 0.1)
        + rng.uniform(0.02, 0.14) * np.sin(2 * np.pi * at * rng.uniform(0.4, 2) + rng.uniform(0, 6))
    )
    spine = np.cumsum(np.column_stack((np.sin(angle), -np.cos(angle))), axis=0) / 80
    canvas = np.zeros((500, 500), np.uint8)
    thick = PchipInterpolator((0, 0.3, 0.7, 1), rng.uniform(0.05, 0.2, 4))(at)
    for (x, y), half in zip(spine - spine.mean(axis=0), thick, strict=True):
        cv2.circle(
            canvas, (round(250 + 230 * x), round(250 + 230 * y)), max(3, round(230 * half)), 255, -1
        )
    return outline_of(canvas)


Family = Callable[[np.random.Generator], Array]
FITTED: tuple[Family, ...] = (vessel, vessel, eared, blob, lumps, leaf)
UNSEEN: tuple[Family, ...] = (cut_paper, stacked, spun, crooked)


def filled(outline: Array, size: int = 400) -> Array:
    """The outline of unit size as a mask with room round it."""
    canvas = np.zeros((size, size), np.uint8)
    cv2.fillPoly(canvas, [np.rint(size / 2 + outline * size * 0.6).astype(np.int32)], 255)
    return canvas


def outline_of(mask: Array) -> Array:
    """The outline of the largest part of a mask, of unit size."""
    mask = cv2.morphologyEx(mask, cv2.MORPH_OPEN, np.ones((5, 5), np.uint8))
    lines, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return unit(even(max(lines, key=cv2.contourArea)[:, 0].astype(float)))


def _ellipse(canvas: Array, at: Any, axes: Any, turn: float, scale: float = 0.6) -> None:
    middle = tuple(round(canvas.shape[0] / 2 + canvas.shape[0] * scale * float(k)) for k in at)
    half = tuple(max(2, round(canvas.shape[0] * scale * float(k))) for k in axes)
    cv2.ellipse(canvas, middle, half, turn, 0, 360, 255, -1)


def idea(seed: int, families: tuple[Family, ...]) -> Array:
    """One form; the same seed, the same form."""
    rng = np.random.default_rng(seed)
    return unit(even(families[int(rng.integers(len(families)))](rng)))


def redrawn(
    outline: Array, rng: np.random.Generator, loose: float = 1.0, shaky: float = 1.0
) -> Array:
    """The form as a hand draws it another time: wider here, higher there, not quite round.

    `loose` 1 moves widths by about a tenth; `shaky` 1 is a hand that trembles by about one part
    in a hundred of the drawing's size.
    """
    low, high = outline.min(axis=0), outline.max(axis=0)
    part = (outline - low) / np.maximum(high - low, 1e-9)
    knots = np.linspace(0, 1, 4)
    moved = outline.copy()
    middle = (low[0] + high[0]) / 2
    widths = 1 + loose * rng.normal(0, 0.06, 4)
    moved[:, 0] = middle + (outline[:, 0] - middle) * PchipInterpolator(knots, widths)(part[:, 1])
    stops = knots + np.array((0, 1, 1, 0)) * loose * rng.normal(0, 0.035, 4)
    span = high[1] - low[1]
    moved[:, 1] = low[1] + span * PchipInterpolator(knots, stops)(part[:, 1])
    moved[:, 0] += loose * rng.normal(0, 0.03) * (part[:, 1] - 0.5) * span
    moved[:, 0] += loose * rng.normal(0, 0.02) * np.sin(np.pi * part[:, 1]) * span
    moved[:, 1] *= 1 + loose * rng.normal(0, 0.05)
    moved = even(moved)
    slope = np.roll(moved, -2, axis=0) - np.roll(moved, 2, axis=0)
    normal = np.column_stack((-slope[:, 1], slope[:, 0]))
    normal /= np.maximum(np.hypot(*normal.T), 1e-9)[:, None]
    turn = np.linspace(0, 2 * np.pi, len(moved), endpoint=False)
    off = np.zeros(len(moved))
    for wave in range(5, 45):
        off += rng.normal(0, 0.0022 * (10 / wave) ** 0.5) * np.cos(
            wave * turn + rng.uniform(0, 6.3)
        )
    return np.asarray(moved + normal * (shaky * off)[:, None])


def wholly_different() -> list[Array]:
    """Ten forms that nobody would call alike."""
    turn = np.linspace(0, 2 * np.pi, POINTS, endpoint=False)
    ring = np.column_stack((np.cos(turn), np.sin(turn)))
    star = ring * np.where(np.arange(POINTS) // (POINTS // 10) % 2, 0.35, 1.0)[:, None]
    corners = [
        [(0, 0), (1, 0), (1, 6), (0, 6)],  # a tall tube
        [(0, 0), (6, 0), (6, 1), (0, 1)],  # a flat tray
        [(0, 0), (4, 0), (2.6, 3), (4, 6), (0, 6), (1.4, 3)],  # an hourglass
        [(2, 0), (4, 4), (0, 4)],  # a tent
        [(0, 0), (1, 0), (1, 3), (4, 3), (4, 4), (0, 4)],  # an angle
        [
            (1, 0),
            (2, 0),
            (2, 1),
            (3, 1),
            (3, 2),
            (2, 2),
            (2, 3),
            (1, 3),
            (1, 2),
            (0, 2),
            (0, 1),
            (1, 1),
        ],
        [(0, 0), (5, 0), (5, 1), (3, 1), (3, 5), (2, 5), (2, 1), (0, 1)],  # a T
        [(0, 0), (1, 0), (1, 3), (4, 3), (4, 0), (5, 0), (5, 4), (0, 4)],  # a U
    ]
    return [unit(even(np.array(each, float))) for each in (ring, star, *corners)]
