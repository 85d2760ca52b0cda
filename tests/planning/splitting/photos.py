"""A page on a table, photographed by hand: tilt, uneven light, the hand's shadow, JPEG."""

import cv2
import numpy as np

from tests.planning.exploration.drawn import light
from tests.planning.exploration.ideas import Array

LONG_PX = 2000


def photographed(sheet: Array, rng: np.random.Generator) -> tuple[Array, Array]:
    """The photo (height, width), 8 bits, and the homography from the page's pixels to its own."""
    high, wide = sheet.shape
    size = np.array((wide, high)) * (LONG_PX / max(sheet.shape))
    size = np.rint(size * (rng.uniform(0.97, 1.06), rng.uniform(0.97, 1.06))).astype(int)
    there = _homography(np.array((wide, high), float), size.astype(float), rng)
    photo = _table(size, rng)
    flat = tuple(int(k) for k in size)
    cv2.warpPerspective(
        sheet, there, flat, dst=photo, borderMode=cv2.BORDER_TRANSPARENT, flags=cv2.INTER_AREA
    )
    on_page = cv2.warpPerspective(np.ones_like(sheet), there, flat)
    edge = cv2.GaussianBlur(1 - on_page, (0, 0), rng.uniform(3, 9))
    photo *= np.where(on_page > 0.5, 1, 1 - 0.6 * (1 - edge) * rng.uniform(0, 1))
    photo *= light((size[1], size[0]), rng.uniform(0, 1), rng).astype(np.float32)
    if rng.random() < 0.35:
        photo *= _hand_shadow(size, rng)
    photo = cv2.GaussianBlur(photo, (0, 0), rng.uniform(0.6, 1.3)) * rng.uniform(200, 250)
    photo += rng.normal(0, rng.uniform(1, 4), photo.shape).astype(np.float32)
    photo = np.clip(photo, 0, 255).astype(np.uint8)
    quality = [cv2.IMWRITE_JPEG_QUALITY, int(rng.integers(65, 95))]
    coded = cv2.imencode(".jpg", photo, quality)[1]
    return np.asarray(cv2.imdecode(coded, cv2.IMREAD_GRAYSCALE)), there


def _homography(page: Array, photo: Array, rng: np.random.Generator) -> Array:
    """Near enough that the page fills the photo, its edges in view or not."""
    corners = np.array(((0, 0), (1, 0), (1, 1), (0, 1)), float) * page
    middle = page / 2
    near = rng.uniform(0.82, 1.04) * float((photo / page).min())
    turn = np.radians(np.clip(rng.normal(0, 2.5), -6, 6))
    matrix = near * np.array(((np.cos(turn), -np.sin(turn)), (np.sin(turn), np.cos(turn))))
    lean = 1 + ((corners - middle) / page) @ rng.normal(0, 0.06, 2)
    seen = (corners - middle) @ matrix.T / lean[:, np.newaxis] + photo / 2
    seen += rng.normal(0, 0.01, 2) * photo
    return np.asarray(
        cv2.getPerspectiveTransform(corners.astype(np.float32), seen.astype(np.float32))
    )


def _table(size: Array, rng: np.random.Generator) -> Array:
    wide, high = (int(k) for k in size)
    table = np.full((high, wide), rng.uniform(0.12, 0.6), np.float32)
    grain: Array = rng.standard_normal((high, wide), np.float32)
    if rng.random() < 0.5:  # wood
        sigma = (60, 1.5) if rng.random() < 0.5 else (1.5, 60)
        grain = cv2.GaussianBlur(grain, (0, 0), sigmaX=sigma[0], sigmaY=sigma[1])
    return table * (1 + rng.uniform(0.02, 0.12) * grain / float(grain.std()))


def _hand_shadow(size: Array, rng: np.random.Generator) -> Array:
    """A hand and a forearm, or a head, between the lamp and the page: dark, its edge soft."""
    wide, high = (int(k) for k in size)
    shade: Array = np.zeros((high // 4, wide // 4), np.float32)
    corner = np.array((rng.uniform(0, wide), high * rng.choice((0, 1)))) / 4
    tip = np.array((rng.uniform(0.2, 0.8) * wide, rng.uniform(0.35, 0.7) * high)) / 4
    thick = rng.uniform(0.1, 0.25) * wide / 4
    ends = [tuple(int(k) for k in each) for each in (corner, tip)]
    cv2.line(shade, ends[0], ends[1], 1.0, round(thick))
    for _ in range(3):
        finger = tip + (tip - corner) * rng.uniform(0.1, 0.35) + rng.normal(0, thick / 2, 2)
        end = tuple(int(k) for k in finger)
        cv2.line(shade, ends[1], end, 1.0, max(1, round(0.25 * thick)))
    shade = cv2.GaussianBlur(shade, (0, 0), rng.uniform(2.5, 12))
    return cv2.resize(1 - rng.uniform(0.15, 0.4) * shade, (wide, high))
