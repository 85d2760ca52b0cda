"""Photos of forms that aren't drawn: cut from paper, or modelled small in clay, on a table or a
sheet; each with a soft shadow."""

import cv2
import numpy as np

from .drawn import light
from .ideas import Array, redrawn

SIZE = (900, 675)


def cut_out(outline: Array, rng: np.random.Generator) -> Array:
    """A photo of one form cut from paper."""
    return taken(_one(outline, rng, clay=False), rng)


def modelled(outline: Array, rng: np.random.Generator) -> Array:
    """A photo of a small clay model: rounded, lit from one side, rough or built of coils."""
    return taken(_one(outline, rng, clay=True), rng)


def _one(outline: Array, rng: np.random.Generator, *, clay: bool) -> Array:
    scene = background(SIZE, rng)
    size = np.array(SIZE[::-1])
    line = redrawn(outline, rng, 0.5, 0.5)
    turn = np.radians(np.clip(rng.normal(0, 3), -8, 8))
    line = line @ np.array(((np.cos(turn), np.sin(turn)), (-np.sin(turn), np.cos(turn))))
    line *= rng.uniform(0.4, 0.75) * float((size / np.ptp(line, axis=0)).min())
    middle = (line.min(axis=0) + line.max(axis=0)) / 2
    mask = mask_of(scene.shape, line - middle + size * rng.uniform(0.45, 0.55, 2))
    tone = other_tone(float(scene.mean()), rng)
    skin = _clay(mask, tone, rng) if clay else np.full_like(scene, tone)
    lay(scene, mask, skin, away(rng), rng)
    return scene


def background(shape: tuple[int, int], rng: np.random.Generator) -> Array:
    """A cloth, a table of wood, or a large sheet of paper."""
    scene = np.full(shape, rng.uniform(0.15, 0.95), np.float32)
    grain: Array = rng.standard_normal(shape, np.float32)
    if rng.random() < 0.35:  # wood
        grain = cv2.GaussianBlur(grain, (0, 0), sigmaX=40, sigmaY=1.5)
        return scene * (1 + rng.uniform(0.01, 0.05) * grain / float(grain.std()))
    grain = cv2.GaussianBlur(grain, (0, 0), 1.2)
    return scene * (1 + rng.uniform(0.005, 0.03) * grain / float(grain.std()))


def other_tone(ground: float, rng: np.random.Generator) -> float:
    """Darker or lighter by at least a quarter of the whole range: else the eye has trouble too."""
    ways = [tone for tone in rng.uniform(0.08, 0.95, 40) if abs(tone - ground) > 0.25]
    return float(ways[0])


def mask_of(shape: tuple[int, ...], line: Array) -> Array:
    """1 within a line of pixels, 0 without, between them on its edge."""
    mask = np.zeros(shape, np.uint8)
    cv2.fillPoly(mask, [np.rint(line * 16).astype(np.int32)], 255, cv2.LINE_AA, 4)
    return mask / np.float32(255)


def away(rng: np.random.Generator) -> Array:
    """Which way shadows fall, one long."""
    angle = rng.uniform(0, 2 * np.pi)
    return np.array((np.cos(angle), np.sin(angle)))


def lay(scene: Array, mask: Array, skin: Array, far: Array, rng: np.random.Generator) -> None:
    """Put a form with this skin on a scene; its shadow falls to `far`."""
    reach = max(scene.shape) * rng.uniform(0.002, 0.012)
    move = np.column_stack((np.eye(2), far * reach)).astype(np.float32)
    shade = cv2.warpAffine(mask, move, scene.shape[::-1])
    shade = cv2.GaussianBlur(shade, (0, 0), reach * rng.uniform(0.5, 1.2))
    scene *= 1 - rng.uniform(0.1, 0.4) * shade
    scene += mask * (skin - scene)


def _clay(mask: Array, tone: float, rng: np.random.Generator) -> Array:
    """How light each place of a rounded body is, whose skin reflects as much as `tone`."""
    deep = cv2.distanceTransform((mask > 0.5).astype(np.uint8), cv2.DIST_L2, 5)
    most = max(1.0, float(deep.max()))
    body = most * np.sqrt(np.clip(1 - (1 - deep / most) ** 2, 0, 1))
    if rng.random() < 0.6:  # coils show
        rows = np.arange(mask.shape[0])[:, np.newaxis]
        coil = rng.uniform(14, 30)
        body = body + 0.06 * coil * np.abs(np.sin(np.pi * rows / coil)) * (deep > 0)
    grain: Array = rng.standard_normal((mask.shape[0], mask.shape[1]), np.float32)
    rough = cv2.GaussianBlur(grain, (0, 0), 2.5)
    surface: Array = body + rng.uniform(1, 5) * rough
    body = cv2.GaussianBlur(surface.astype(np.float32), (0, 0), 2)
    slope = [cv2.Sobel(body, cv2.CV_32F, *way, scale=1 / 8) for way in ((1, 0), (0, 1))]
    lamp = np.array((*(away(rng) * 0.5), 1.0))
    lamp /= np.linalg.norm(lamp)
    facing = (lamp[2] - lamp[0] * slope[0] - lamp[1] * slope[1]) / np.sqrt(
        1 + slope[0] ** 2 + slope[1] ** 2
    )
    speckle = 1 + 0.04 * rng.standard_normal((mask.shape[0], mask.shape[1]), np.float32)
    return np.asarray(tone * (0.55 + 0.45 * np.clip(facing, 0, 1)) * speckle)


def taken(scene: Array, rng: np.random.Generator) -> Array:
    """The photo of a scene: uneven light, noise, JPEG."""
    scene = cv2.GaussianBlur(scene, (0, 0), rng.uniform(0.6, 1.3) * max(scene.shape) / 900)
    photo = scene * light(scene.shape, rng.uniform(0, 0.7), rng).astype(np.float32) * 240
    photo = photo + rng.normal(0, rng.uniform(1, 4), photo.shape)
    quality = [cv2.IMWRITE_JPEG_QUALITY, int(rng.integers(65, 95))]
    coded = cv2.imencode(".jpg", np.clip(photo, 0, 255).astype(np.uint8), quality)[1]
    return np.asarray(cv2.imdecode(coded, cv2.IMREAD_GRAYSCALE))
