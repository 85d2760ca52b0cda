"""Notes, numbers, arrows and frames beside drawings, by no very tidy hand."""

from typing import Any

import cv2
import numpy as np

from tests.planning.exploration.ideas import Array

FONTS = (
    cv2.FONT_HERSHEY_SCRIPT_SIMPLEX,
    cv2.FONT_HERSHEY_SCRIPT_SIMPLEX,
    cv2.FONT_HERSHEY_SCRIPT_COMPLEX,
    cv2.FONT_HERSHEY_SIMPLEX,
    cv2.FONT_HERSHEY_DUPLEX,
)
NOTES = (
    "tall", "pod", "seed pod", "wider here", "coil 8 mm", "like a shell", "lid?", "too thin",
    "h = 18", "bud", "good!", "neck", "narrow foot", "try again", "acorn", "my favourite",
    "two ears", "from above", "smooth", "leaf",
)  # fmt: skip
TITLES = ("Thumbnails", "Ideas for my coil pot", "12 Nov  ceramics", "Mina K.  7B", "Shapes 1")
_CAP = 21  # Hershey capitals are so many pixels high at scale 1


def written(text: str, high: float, rng: np.random.Generator, font: int, thick: int) -> Array:
    """A line of handwriting as a mask, 255 on the ink; capitals are `high` pixels high."""
    scale = high / _CAP
    room = round(1.5 * high) + 4
    wide = cv2.getTextSize(text, font, scale, thick)[0][0]
    mask = np.zeros((round(high) + 2 * room, round(1.25 * wide) + 2 * room), np.uint8)
    joined = font in FONTS[:3] and rng.random() < 0.7
    x = float(room)
    for part in text.split(" ") if joined else text:
        size = scale * rng.uniform(0.9, 1.12)
        at = round(x), round(room + high + rng.normal(0, 0.06 * high))
        cv2.putText(mask, part, at, font, size, 255, thick, cv2.LINE_AA)
        ahead = cv2.getTextSize(part, font, size, thick)[0][0]
        x += ahead * rng.uniform(0.95, 1.08) + (0.5 * high if joined else 0)
    return _cut(_wobbled(mask, high, rng))


def _wobbled(mask: Array, high: float, rng: np.random.Generator) -> Array:
    grid = [
        cv2.GaussianBlur(
            rng.standard_normal((mask.shape[0], mask.shape[1]), np.float32), (0, 0), 0.35 * high
        )
        for _ in range(2)
    ]
    x, y = np.meshgrid(np.arange(mask.shape[1]), np.arange(mask.shape[0]))
    slant = rng.uniform(-0.1, 0.25)
    off = [each / max(1e-6, float(each.std())) * 0.05 * high for each in grid]
    x = x + off[0] + slant * (y - mask.shape[0] / 2)
    y = y + off[1] + rng.normal(0, 0.03) * (x - mask.shape[1] / 2)
    return cv2.remap(mask, x.astype(np.float32), y.astype(np.float32), cv2.INTER_LINEAR)


def _cut(mask: Array) -> Array:
    x, y, width, height = cv2.boundingRect((mask > 40).astype(np.uint8))
    return mask[y : y + height, x : x + width]


def numbered(number: int, high: float, rng: np.random.Generator, thick: int, ring: bool) -> Array:
    """A number, with a ring round it if asked."""
    mask = written(f"{number}" if ring else f"{number}.", high, rng, FONTS[3], thick)
    if not ring:
        return mask
    room = round(0.5 * high)
    mask = np.pad(mask, room)
    half = mask.shape[1] // 2, mask.shape[0] // 2
    axes = max(2, half[0] - thick), max(2, half[1] - thick)
    cv2.ellipse(mask, half, axes, rng.uniform(0, 40), 15, 365, 255, thick, cv2.LINE_AA)
    return mask


def arrow(start: Any, end: Any, head: float, rng: np.random.Generator) -> list[Array]:
    """A bent line with a head, as strokes of (n, 2) points."""
    start, end = np.array(start, float), np.array(end, float)
    along = end - start
    across = np.array((-along[1], along[0]))
    at = np.linspace(0, 1, 12)[:, np.newaxis]
    line = start + at * along + rng.normal(0, 0.1) * np.sin(np.pi * at) * across
    back = -head * (line[-1] - line[-3]) / max(1e-6, float(np.hypot(*(line[-1] - line[-3]))))
    turns = [np.radians(rng.uniform(20, 40)) * way for way in (1, -1)]
    wings = [
        end + np.array(((np.cos(t), -np.sin(t)), (np.sin(t), np.cos(t)))) @ back for t in turns
    ]
    return [line, np.array((wings[0], end, wings[1]))]


def frame(corner: Array, size: Array, rng: np.random.Generator) -> list[Array]:
    """A box round a drawing, by hand or with a ruler, in four pulls."""
    shaky = rng.choice((0.3, 1.5))
    corners = corner + size * np.array(((0, 0), (1, 0), (1, 1), (0, 1)))
    corners = corners + rng.normal(0, 2 * shaky, corners.shape)
    sides = []
    for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        at = np.linspace(-0.01, 1.01, 14)[:, np.newaxis]
        waves = cv2.GaussianBlur(rng.normal(0, shaky, (14, 2)), (0, 0), 1.5)
        sides.append(start + at * (end - start) + waves)
    return sides


def measure(line: Array, apart: float) -> list[Array]:
    """A line beside an outline, as high, with short bars at its ends."""
    low, high = line.min(axis=0), line.max(axis=0)
    x, bar = high[0] + apart, 0.6 * apart
    ends = [np.array(((x - bar, y), (x + bar, y))) for y in (low[1], high[1])]
    return [np.array(((x, low[1]), (x, high[1]))), *ends]


def without_rim(strokes: list[tuple[Array, float]], line: Array) -> list[tuple[Array, float]]:
    """A pot drawn open: walls and foot, its rim left out."""
    top = line[:, 1].min() + 0.05 * np.ptp(line[:, 1])
    kept = [(stroke[stroke[:, 1] > top], firm) for stroke, firm in strokes]
    return [(stroke, firm) for stroke, firm in kept if len(stroke) > 1]
