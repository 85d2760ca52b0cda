"""Paper that was folded and crumpled, as it lies under a camera in a room."""

import cv2
import numpy as np

from .drawn import Page
from .scene import PX_PER_MM, Array, Canvas

CAMERA_MM = 650.0
"""Of a phone over a drawing of 40 cm (common practice, no source)."""


def crumple(page: Page, *, size_mm: float, seed: int) -> None:
    """The paper rises by `size_mm` (one standard deviation) in dents a hand wide, has two folds,
    and is lit from the side. What is higher is nearer to the camera and so looks further out."""
    rng = np.random.default_rng(seed)
    canvas = page.canvas
    height = _dents(canvas, rng) * size_mm + _folds(canvas, rng, 1.2 * size_mm)
    shape = canvas.light.shape
    x, y = np.meshgrid(np.arange(shape[1]), np.arange(shape[0]))
    by = (height / CAMERA_MM).astype(np.float32)
    off_x, off_y = (x - shape[1] / 2) * by, (y - shape[0] / 2) * by
    moved = cv2.remap(
        canvas.light,
        (x - off_x).astype(np.float32),
        (y - off_y).astype(np.float32),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    canvas.light = np.asarray(moved) * _lit(height, rng)


def _dents(canvas: Canvas, rng: np.random.Generator) -> Array:
    grown = np.zeros(canvas.light.shape, np.float32)
    for wave_mm, share in ((90, 0.8), (40, 0.35), (15, 0.1)):
        cells = (round(canvas.height_mm / wave_mm) + 2, round(canvas.width_mm / wave_mm) + 2)
        coarse = rng.standard_normal(cells).astype(np.float32)
        size = canvas.light.shape[::-1]
        grown += share * np.asarray(cv2.resize(coarse, size, interpolation=cv2.INTER_CUBIC))
    return grown


def _folds(canvas: Canvas, rng: np.random.Generator, size_mm: float) -> Array:
    """Two straight ridges, as of a sheet that was folded for a bag, flat 40 mm from each."""
    shape = canvas.light.shape
    down = np.abs(np.arange(shape[0]) - shape[0] * rng.uniform(0.4, 0.6)) / PX_PER_MM
    across = np.abs(np.arange(shape[1]) - shape[1] * rng.uniform(0.4, 0.6)) / PX_PER_MM
    return size_mm * (_ridge(down)[:, np.newaxis] + _ridge(across)[np.newaxis]).astype(np.float32)


def _ridge(away_mm: Array) -> Array:
    return np.asarray(np.clip(1 - away_mm / 40, 0, 1) ** 2)


def _lit(height: Array, rng: np.random.Generator) -> Array:
    """Lambert's cosine law for a lamp that stands 35° above the table."""
    down, across = np.gradient(height, 1 / PX_PER_MM)
    turn, rise = rng.uniform(0, 2 * np.pi), np.radians(35)
    lamp = np.array((np.cos(turn) * np.cos(rise), np.sin(turn) * np.cos(rise), np.sin(rise)))
    straight = (-across * lamp[0] - down * lamp[1] + lamp[2]) / np.sqrt(1 + across**2 + down**2)
    return np.asarray(np.clip(straight / lamp[2], 0.3, 1.25), dtype=np.float32)
