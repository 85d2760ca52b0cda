"""Pages of a sketchbook and the tables they lie on: sizes, colours, printed rules, textures.

Lengths in mm; a page's origin is its top left corner, y downwards. No Django here.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, zoom

from studio.demo.dice import chance

Floats = NDArray[np.float32]
Colour = tuple[int, int, int]
Rule = tuple[float, float, float, float]  # x0, y0, x1, y1 in mm
TEXTURE_PX = (1900, 1700)  # rows and columns: a picture and some room to choose the place


@dataclass(frozen=True)
class Page:
    """One page with its printed rules."""

    width_mm: float = 148.0
    height_mm: float = 210.0
    colour: Colour = (240, 238, 232)
    rules: tuple[Rule, ...] = ()
    rule_colour: Colour = (150, 172, 205)
    margin_x_mm: float | None = None  # a red margin line
    holes_x_mm: float | None = None  # a row of punched holes, as of a spiral binding
    grain: float = 0.005  # unevenness of the paper itself


def _squares(width: float, height: float, step: float) -> tuple[Rule, ...]:
    down = [(float(x), 0.0, float(x), height) for x in np.arange(step, width, step)]
    across = [(0.0, float(y), width, float(y)) for y in np.arange(step, height, step)]
    return tuple(down + across)


def page_of(seed: int) -> Page:
    """Return the sketchbook page that one student uses; the same seed is the same paper."""
    rng = np.random.default_rng(seed)
    kind = rng.choice(
        ["white", "cream", "grey", "kraft", "ruled", "squared", "dotted"],
        p=[0.3, 0.22, 0.08, 0.04, 0.13, 0.15, 0.08],
    )
    wide, high = (148.0, 210.0) if chance(rng, 0.75) else (170.0, 230.0)
    holes = 6.0 if chance(rng, 0.3) else None
    plain: dict[str, Colour] = {
        "white": (242, 241, 237), "cream": (243, 234, 211),
        "grey": (205, 203, 198), "kraft": (196, 167, 127),
    }  # fmt: skip
    if kind in plain:
        return Page(wide, high, plain[kind], holes_x_mm=holes, grain=0.007)
    white = (240, 241, 241)
    if kind == "ruled":
        rules = tuple((0.0, float(y), wide, float(y)) for y in np.arange(22.0, high - 8, 8.0))
        return Page(wide, high, white, rules, margin_x_mm=24.0, holes_x_mm=holes)
    if kind == "squared":
        return Page(wide, high, white, _squares(wide, high, 5.0), (164, 184, 206), holes_x_mm=holes)
    dots = tuple(
        (float(x), float(y), float(x) + 0.4, float(y))
        for x in np.arange(5.0, wide, 5.0)
        for y in np.arange(5.0, high, 5.0)
    )
    return Page(wide, high, (243, 238, 224), dots, (140, 138, 132), holes_x_mm=holes)


def _wrapped(tile: Floats) -> Floats:
    """Carry a wrapping texture on to `TEXTURE_PX`, so that a piece is one slice from anywhere."""
    return np.pad(tile, [(0, TEXTURE_PX[axis] - tile.shape[axis]) for axis in (0, 1)], mode="wrap")


def _noise(seed: int) -> Floats:
    return np.random.default_rng(seed).standard_normal((1024, 1024), dtype=np.float32)


def _soft(seed: int, sigma: tuple[float, float], coarse: tuple[int, int] = (1, 1)) -> Floats:
    """(1024, 1024) smooth noise of unit size; worked out `coarse` times smaller, which is quick."""
    rng = np.random.default_rng(seed)
    small = rng.standard_normal((1024 // coarse[0], 1024 // coarse[1]), dtype=np.float32)
    soft = gaussian_filter(small, (sigma[0] / coarse[0], sigma[1] / coarse[1]), mode="wrap")
    wide = zoom(soft, coarse, order=1, mode="grid-wrap", grid_mode=True)
    return np.asarray(wide / wide.std(), dtype=np.float32)


@lru_cache(maxsize=1)
def tooth() -> Floats:
    """(1024, 1024) roughness of paper around 1: graphite catches on its hills."""
    rough = gaussian_filter(_noise(11), 0.8, mode="wrap")
    return np.asarray(np.clip(1.0 + 0.42 * rough / rough.std(), 0.05, 2.2), dtype=np.float32)


@lru_cache(maxsize=1)
def cloud() -> Floats:
    """Slow unevenness of unit size, for paper and laminate; size `TEXTURE_PX`."""
    slow = 0.5 * _soft(12, (1, 1)) + 0.4 * _soft(15, (5, 5), (2, 2)) + _soft(16, (30, 30), (8, 8))
    return _wrapped(slow / slow.std())


@lru_cache(maxsize=1)
def speckle() -> Floats:
    """Noise of a small sensor, unit size, slightly blotchy; size `TEXTURE_PX`."""
    noise = _noise(13)
    soft = gaussian_filter(noise, 0.7, mode="wrap")
    return _wrapped((0.5 * noise + 0.5 * soft / soft.std()).astype(np.float32))


@lru_cache(maxsize=8)
def table(kind: str) -> Floats:
    """Picture of a table top, 0 to 255, (3, *`TEXTURE_PX`): wood, laminate, canvas or slate."""
    base: Colour
    if kind == "wood":
        streaks, bands = _soft(14, (1.5, 70), (1, 8)), _soft(17, (26, 300), (8, 64))
        grey, base = 0.045 * streaks + 0.07 * bands, (176, 141, 104)
    elif kind == "canvas":
        weave = np.outer(*[np.sin(np.arange(1024) * np.pi / 2)] * 2).astype(np.float32)
        grey, base = 0.05 * weave + 0.045 * _soft(14, (2, 2)), (171, 160, 141)
    else:
        base = (150, 153, 153) if kind == "laminate" else (82, 87, 90)
        grey = 0.02 * _soft(14, (0.8, 0.8))
    grey = _wrapped((1.0 + grey).astype(np.float32))
    return np.stack([np.clip(grey * np.float32(tone), 0, 255) for tone in base])


TABLES = ("wood", "laminate", "canvas", "slate")
