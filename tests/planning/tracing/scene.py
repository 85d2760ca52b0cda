"""Drawings on paper as a camera sees them: made for tests, with the measures known.

The camera is a pinhole with a bending lens, tilted; the markers come from OpenCV's generator of
the published dictionary, not from the code that is tested.
"""

from dataclasses import dataclass, field
from typing import Any

import cv2
import numpy as np

Array = np.ndarray[Any, np.dtype[Any]]

PX_PER_MM = 8
MARKERS = {0: (7, 7), 1: (92, 7), 2: (92, 56), 3: (7, 56)}  # as printed: 33 mm, card 132 × 96


@dataclass
class Canvas:
    """A table top in mm with paper on it: `light` is what each place reflects, 0 to 1."""

    width_mm: float
    height_mm: float
    rng: np.random.Generator
    light: Array = field(init=False)

    def __post_init__(self) -> None:
        shape = (round(self.height_mm * PX_PER_MM), round(self.width_mm * PX_PER_MM))
        grain = self.rng.normal(0, 1, (shape[0] // 40 + 1, shape[1] // 4 + 1)).astype(np.float32)
        grown = cv2.resize(grain, shape[::-1], interpolation=cv2.INTER_LINEAR)
        self.light = (0.36 + 0.03 * grown).astype(np.float32)

    def paper(self, x: float, y: float, width: float, height: float, tone: float = 0.92) -> None:
        at = self._box(x, y, width, height)
        shape = self.light[at].shape
        fibre = cv2.GaussianBlur(self.rng.normal(0, 0.05, shape).astype(np.float32), (0, 0), 1.2)
        self.light[at] = tone + fibre

    def card(self, x: float, y: float, turn_deg: float = 0.0, shrink: float = 1.0) -> None:
        """The printed scale card, its middle at (x, y), turned clockwise."""
        card = np.full((96 * PX_PER_MM, 132 * PX_PER_MM), 0.97, np.float32)
        dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
        side = 33 * PX_PER_MM
        for marker, (left, top) in MARKERS.items():
            cells = cv2.aruco.generateImageMarker(dictionary, marker, side).astype(np.float32)
            rows = slice(top * PX_PER_MM, top * PX_PER_MM + side)
            card[rows, left * PX_PER_MM : left * PX_PER_MM + side] = 0.08 + cells / 255 * 0.89
        place = cv2.getRotationMatrix2D(
            (card.shape[1] / 2 - 0.5, card.shape[0] / 2 - 0.5), -turn_deg, shrink
        )
        at = np.array((x, y)) * PX_PER_MM - np.array(card.shape[::-1]) / 2
        place = np.asarray(place) + np.column_stack((np.zeros((2, 2)), at))
        size = self.light.shape[::-1]
        there = cv2.warpAffine(np.ones_like(card), place, size, flags=cv2.INTER_LINEAR)
        self.light = self.light * (1 - there) + cv2.warpAffine(card, place, size) * there

    def stroke(self, line: Array, width_mm: float, darkness: float, grain: float) -> None:
        """A line through places (n, 2) in mm. `grain` 0 is a pen, 1 the coarsest pencil."""
        mask = np.zeros(self.light.shape, np.uint8)
        fixed = np.round((line * PX_PER_MM - 0.5) * 16).astype(np.int32)
        cv2.polylines(mask, [fixed], False, 255, round(width_mm * PX_PER_MM), cv2.LINE_AA, 4)
        self._press(mask, darkness, grain)

    def text(self, words: str, x: float, y: float, size_mm: float, darkness: float) -> None:
        mask = np.zeros(self.light.shape, np.uint8)
        at = (round(x * PX_PER_MM), round(y * PX_PER_MM))
        scale = size_mm * PX_PER_MM / 22
        cv2.putText(mask, words, at, cv2.FONT_HERSHEY_SCRIPT_SIMPLEX, scale, 255, 4, cv2.LINE_AA)
        self._press(mask, darkness, 0.3)

    def _press(self, mask: Array, darkness: float, grain: float) -> None:
        x, y, width, height = cv2.boundingRect(mask)
        at = np.s_[y : y + height, x : x + width]
        shape = mask[at].shape
        fine = cv2.GaussianBlur(self.rng.normal(0, 1, shape).astype(np.float32), (0, 0), 1.0)
        slow = cv2.resize(
            self.rng.normal(0, 1, (shape[0] // 160 + 2, shape[1] // 160 + 2)).astype(np.float32),
            shape[::-1],
        )
        pressed = darkness * np.clip(1 + grain * (1.6 * fine + 0.15 * slow), 0.1, 1.3)
        self.light[at] *= 1 - np.clip(pressed, 0, 0.92) * (mask[at] / np.float32(255))

    def _box(self, x: float, y: float, width: float, height: float) -> tuple[slice, slice]:
        rows = slice(round(y * PX_PER_MM), round((y + height) * PX_PER_MM))
        return rows, slice(round(x * PX_PER_MM), round((x + width) * PX_PER_MM))


@dataclass(frozen=True)
class Camera:
    """A pinhole over the middle of the canvas that leans by `tilt_deg` towards `towards_deg`.

    `bend` and `bend_more` are the lens's r² and r⁴, 1 in the corners; `blur_px`, `noise` of 255.
    """

    long_px: int = 4000
    tilt_deg: float = 0.0
    towards_deg: float = 0.0
    roll_deg: float = 0.0
    bend: float = 0.0
    bend_more: float = 0.0
    blur_px: float = 0.7
    noise: float = 2.0
    shadow: float = 0.25
    jpeg: int = 80


@dataclass(frozen=True)
class Photo:
    jpeg: bytes
    gray: Array
    plane: Array
    bend: tuple[float, float]

    def seen(self, paper: Array) -> Array:
        """Pixels of places (n, 2) in mm on the canvas, by walking the lens's rule backwards."""
        ideal = cv2.perspectiveTransform(np.asarray(paper, np.float64)[None], self.plane)[0]
        middle = (np.array(self.gray.shape[::-1]) - 1) / 2
        wanted = (ideal - middle) / np.hypot(*middle)
        off = wanted
        for _ in range(20):
            square = (off**2).sum(axis=1, keepdims=True)
            off = wanted / (1 + self.bend[0] * square + self.bend[1] * square**2)
        return np.asarray(off * np.hypot(*middle) + middle)


def photographed(canvas: Canvas, camera: Camera) -> Photo:
    """What the camera sees of the whole canvas, as a JPEG and as its gray pixels."""
    rng = canvas.rng
    tall = canvas.height_mm >= canvas.width_mm
    size = (camera.long_px * 3 // 4, camera.long_px)
    size = size if tall else size[::-1]
    plane = _plane(canvas, camera, size)
    back = np.linalg.inv(plane)
    middle = (np.array(size) - 1) / 2
    # A lens sees no detail finer than a pixel, and sampling must not make up any.
    finer = PX_PER_MM * np.hypot(canvas.width_mm, canvas.height_mm) / np.hypot(*size)
    light = cv2.GaussianBlur(canvas.light, (0, 0), max(0.5, 0.5 * finer))
    out: Array = np.empty(size[::-1], np.float32)
    for top in range(0, size[1], 500):
        x = np.arange(size[0])[np.newaxis] - middle[0]
        y = np.arange(top, min(top + 500, size[1]))[:, np.newaxis] - middle[1]
        square = (x**2 + y**2) / (middle**2).sum()
        bent = 1 + camera.bend * square + camera.bend_more * square**2
        x, y = middle[0] + x * bent, middle[1] + y * bent
        across, down, away = (row[0] * x + row[1] * y + row[2] for row in back)
        where = [(each / away * PX_PER_MM - 0.5).astype(np.float32) for each in (across, down)]
        out[top : top + 500] = cv2.remap(
            light, where[0], where[1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
        )
    out = np.asarray(cv2.GaussianBlur(out, (0, 0), camera.blur_px))
    out *= _light(size, camera.shadow, rng) * 235
    out += camera.noise * rng.standard_normal(out.shape, dtype=np.float32)
    _, coded = cv2.imencode(
        ".jpg", np.clip(out, 0, 255).astype(np.uint8), [cv2.IMWRITE_JPEG_QUALITY, camera.jpeg]
    )
    gray = np.asarray(cv2.imdecode(coded, cv2.IMREAD_GRAYSCALE))
    return Photo(coded.tobytes(), gray, plane, (camera.bend, camera.bend_more))


def _plane(canvas: Canvas, camera: Camera, size: tuple[int, int]) -> Array:
    """The homography from canvas mm to pixels before the lens bends them."""
    focal = 0.72 * max(size)  # 26 mm on a 36 mm wide frame: a phone's main camera
    tilt, roll = np.radians((camera.tilt_deg, camera.roll_deg))
    towards = np.radians(camera.towards_deg)
    axis = np.array((np.cos(towards), np.sin(towards), 0.0)) * tilt
    lean, _ = cv2.Rodrigues(axis)
    spin, _ = cv2.Rodrigues(np.array((0, 0, roll)))
    turn = lean @ spin
    away = np.float64(1)
    corners = np.array([(x, y, 0) for x in (-0.5, 0.5) for y in (-0.5, 0.5)])
    corners[:, :2] *= (canvas.width_mm, canvas.height_mm)
    # As near as the canvas fits within the picture.
    for away in np.linspace(0.5, 3, 251) * max(canvas.width_mm, canvas.height_mm):
        seen = corners @ turn.T + (0, 0, away)
        pixels = seen[:, :2] / seen[:, 2:] * focal
        if (np.abs(pixels) <= np.array(size) / 2).all():
            break
    lens = np.array(((focal, 0, (size[0] - 1) / 2), (0, focal, (size[1] - 1) / 2), (0, 0, 1)))
    place = np.column_stack((turn[:, 0], turn[:, 1], (0, 0, away)))
    shift = np.array(((1, 0, -canvas.width_mm / 2), (0, 1, -canvas.height_mm / 2), (0, 0, 1)))
    plane = lens @ place @ shift
    return np.asarray(plane / plane[2, 2])


def _light(size: tuple[int, int], shadow: float, rng: np.random.Generator) -> Array:
    """Light that falls off to one side, with the soft shadow of a hand or head."""
    x, y = np.meshgrid(np.linspace(-1, 1, 64), np.linspace(-1, 1, 64))
    angle = rng.uniform(0, 2 * np.pi)
    fall = 1 - 0.5 * shadow * (1 + x * np.cos(angle) + y * np.sin(angle)) / 2
    at, wide = rng.uniform(-0.7, 0.7, 2), rng.uniform(0.3, 0.7)
    blob = shadow * np.exp(-((((x - at[0]) ** 2 + (y - at[1]) ** 2) / wide**2) ** 2))
    light = np.asarray(fall * (1 - blob), dtype=np.float32)
    return np.asarray(cv2.resize(light, size, interpolation=cv2.INTER_CUBIC))
