"""A photograph of a pot on a table before a plain cloth, from the form of its plan.

Turned light from a window on the left, a soft shadow, the colour of its clay. Same arguments,
same bytes. No Django here.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from zlib import crc32

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy.ndimage import gaussian_filter, gaussian_filter1d

from studio.demo.photo import jpeg

Floats = NDArray[np.float64]
Sample = tuple[float, float, float]  # height, left, right in mm, foot to rim

WIDTH, HEIGHT = 720, 960
TABLE_PX = 720  # from the top: where the pot stands
TALLEST_PX, WIDEST_PX = 540, 500
CLOTH, TABLE = np.array([196.0, 194.0, 188.0]), np.array([150.0, 132.0, 112.0])
# The clay by stage, as it looks under window light; two glazes and their like by name.
CLAY = {
    "wet": (110, 95, 84),
    "leather_hard": (146, 124, 105),
    "bone_dry": (214, 200, 180),
    "bisque_fired": (206, 142, 112),
}
GLAZES = ((104, 148, 140), (214, 205, 184), (96, 70, 54), (132, 150, 170))


@dataclass(frozen=True)
class PotPicture:
    """One photograph of one pot; `key` tells pictures apart and sets everything by chance."""

    key: str
    silhouette: Sequence[Sample]
    stage: str
    glaze: int = 0

    @property
    def file_name(self) -> str:
        return f"IMG_{9000 - crc32(self.key.encode()) % 6000}.jpg"

    def photo(self) -> bytes:
        """The JPEG; takes about 80 ms."""
        rng = np.random.default_rng(crc32(self.key.encode()))
        picture = _background(rng)
        left, right, top = self._edges(rng)
        _cast_shadow(picture, left, right, rng)
        self._paint(picture, left, right, top, rng)
        picture += rng.normal(0, 2.2, picture.shape)
        soft = gaussian_filter(picture, (0.7, 0.7, 0))
        return jpeg(Image.fromarray(np.clip(soft, 0, 255).astype(np.uint8)), quality=82)

    def _edges(self, rng: np.random.Generator) -> tuple[Floats, Floats, int]:
        """The pot's left and right edge by row of pixels, from the rim down to the table."""
        levels = np.array(self.silhouette, float)
        scale = min(TALLEST_PX / levels[-1, 0], WIDEST_PX / 2 / levels[:, 1:].max())
        rows = int(levels[-1, 0] * scale)
        height_mm = np.linspace(levels[-1, 0], 0, rows)
        wobble = gaussian_filter1d(rng.normal(0, 9, (2, rows)), 26, axis=1)
        middle = WIDTH / 2 + rng.uniform(-30, 30)
        left = middle - np.interp(height_mm, levels[:, 0], levels[:, 1]) * scale + wobble[0]
        right = middle + np.interp(height_mm, levels[:, 0], levels[:, 2]) * scale + wobble[1]
        return left, right, TABLE_PX - rows

    def _paint(
        self, picture: Floats, left: Floats, right: Floats, top: int, rng: np.random.Generator
    ) -> None:
        tint = np.array(CLAY.get(self.stage, GLAZES[self.glaze % len(GLAZES)]), float)
        across = np.arange(WIDTH)[None, :]
        half = ((right - left) / 2)[:, None]
        place = (across - ((right + left) / 2)[:, None]) / half
        inside = np.clip((1 - np.abs(place)) * half / 1.5, 0, 1)
        turn = np.sqrt(np.clip(1 - place**2, 0, 1))
        light = 0.34 + 0.62 * np.clip(0.62 * turn - 0.55 * place, 0, 1.1)
        # Rows of coils show as faint waves of light; a scraper leaves its own marks.
        waves = gaussian_filter1d(rng.normal(0, 1, len(left)), 9)
        light += 0.05 * waves[:, None] / max(float(np.abs(waves).max()), 1e-6)
        light += gaussian_filter(rng.normal(0, 0.16, place.shape), (1.4, 5))
        tone = tint * light[..., None]
        if self.stage not in CLAY:
            glint = np.exp(-(((place + 0.45) / 0.07) ** 2)) * 70
            tone += (glint * (0.6 + 0.4 * waves[:, None]))[..., None]
        bottom = top + len(left)
        part = picture[top:bottom]
        part += (tone - part) * inside[..., None]
        _rim(picture, left[0], right[0], top, tint)


def _background(rng: np.random.Generator) -> Floats:
    """A cloth that falls into a table, brighter towards the window."""
    picture = np.empty((HEIGHT, WIDTH, 3))
    picture[:TABLE_PX] = CLOTH
    picture[TABLE_PX - 24 :] = TABLE
    fade = np.linspace(1.08, 0.82, WIDTH)[None, :, None]
    folds = gaussian_filter1d(rng.normal(0, 1, WIDTH), 40)
    picture *= fade
    picture[: TABLE_PX - 24] += 40 * folds[None, :, None]
    return gaussian_filter(picture, (3, 3, 0))


def _cast_shadow(picture: Floats, left: Floats, right: Floats, rng: np.random.Generator) -> None:
    """On the table, to the right of the foot."""
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH]
    foot = (left[-1] + right[-1]) / 2
    wide = (right - left).max() / 2
    reach = rng.uniform(0.5, 0.8)
    inside = ((x - foot - reach * wide) / (1.3 * wide)) ** 2 + ((y - TABLE_PX - 6) / 26) ** 2
    picture *= (1 - 0.42 * gaussian_filter((inside < 1).astype(float), 9))[..., None]


def _rim(picture: Floats, left: float, right: float, top: int, tint: Floats) -> None:
    """The opening, seen a little from above."""
    y, x = np.mgrid[max(0, top - 40) : top + 40, 0:WIDTH]
    wide = (right - left) / 2
    inside = ((x - (left + right) / 2) / wide) ** 2 + ((y - top) / (0.16 * wide)) ** 2
    edge = np.clip((1 - inside) * wide / 3, 0, 1)[..., None]
    hollow = np.clip((0.86 - inside) * wide / 3, 0, 1)[..., None]
    part = picture[max(0, top - 40) : top + 40]
    part += (tint * 0.95 - part) * edge
    part += (tint * 0.34 - part) * hollow
