"""Sheets of paper before anything is drawn on them: what each place reflects, 0 to 1."""

import cv2
import numpy as np

from tests.planning.exploration.ideas import Array

PAPERS = ("plain", "toned", "ruled", "squared", "dotted")
SIZES_MM = ((210, 297), (210, 297), (148, 210), (216, 279), (297, 210), (240, 320))
PX_PER_MM = 6


def page(paper: str, rng: np.random.Generator) -> Array:
    """A page (height, width) of so many pixels a millimetre that all sizes are alike."""
    wide_mm, high_mm = SIZES_MM[int(rng.integers(len(SIZES_MM)))]
    scale = PX_PER_MM * 297 / max(wide_mm, high_mm)
    wide, high = round(wide_mm * scale), round(high_mm * scale)
    tone = rng.uniform(0.55, 0.8) if paper == "toned" else rng.uniform(0.9, 0.97)
    sheet = np.full((high, wide), tone, np.float32)
    grain = rng.normal(0, rng.uniform(0.005, 0.025), sheet.shape).astype(np.float32)
    sheet += cv2.GaussianBlur(grain, (0, 0), 1.2)
    dark = rng.uniform(0.1, 0.3) * (_printed(paper, sheet.shape, scale, rng) / np.float32(255))
    sheet *= 1 - dark
    if rng.random() < 0.15:
        _punch(sheet, scale, rng)
    if rng.random() < 0.15:
        _crease(sheet, rng)
    return sheet


def _printed(paper: str, shape: tuple[int, ...], scale: float, rng: np.random.Generator) -> Array:
    high, wide = shape
    rules = np.zeros(shape, np.uint8)
    line = max(1, round(rng.uniform(0.15, 0.35) * scale))
    step = scale * (rng.choice((7, 8, 9)) if paper == "ruled" else rng.choice((4, 5, 5, 5)))
    first = rng.uniform(0, step)
    if paper in ("ruled", "squared"):
        top = first + (rng.uniform(0, 25) * scale if paper == "ruled" else 0)
        for y in np.arange(top, high, step):
            cv2.line(rules, (0, round(y)), (wide, round(y)), 255, line)
    if paper == "squared":
        for x in np.arange(rng.uniform(0, step), wide, step):
            cv2.line(rules, (round(x), 0), (round(x), high), 255, line)
    if paper in ("ruled", "squared") and rng.random() < 0.4:
        x = round(wide * rng.choice((rng.uniform(0.06, 0.14), rng.uniform(0.86, 0.94))))
        cv2.line(rules, (x, 0), (x, high), 255, line)
    if paper == "dotted":
        for y in np.arange(first, high, step):
            for x in np.arange(first, wide, step):
                at = round(16 * float(x)), round(16 * float(y))
                cv2.circle(rules, at, round(16 * 0.3 * scale), 255, -1, cv2.LINE_AA, 4)
    return rules


def _punch(sheet: Array, scale: float, rng: np.random.Generator) -> None:
    """Two or four holes for a binder, through which the table is seen."""
    table = rng.uniform(0.1, 0.6)
    for offset in rng.choice(((-40, 40), (-120, -40, 40, 120))[int(rng.integers(2))], 2, False):
        y = sheet.shape[0] / 2 + float(offset) * scale
        cv2.circle(sheet, (round(12 * scale), round(y)), round(3 * scale), table, -1, cv2.LINE_AA)


def _crease(sheet: Array, rng: np.random.Generator) -> None:
    """Folded once across: a soft step of light."""
    along = np.linspace(0, 1, sheet.shape[0])[:, np.newaxis]
    at, deep = rng.uniform(0.45, 0.55), rng.uniform(0.03, 0.08)
    sheet *= (1 - deep * np.exp(-np.abs(along - at) / 0.004)).astype(np.float32)
