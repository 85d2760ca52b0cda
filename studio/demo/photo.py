"""A photograph of a page taken by hand: camera, window light, a shadow, blur, noise, JPEG.

One page may carry any number of strokes, so a single thumbnail and a whole sheet are the same
call. Same arguments, same bytes. No Django here.
"""

import io
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy.ndimage import gaussian_filter

from studio.demo.dice import chance
from studio.demo.paper import TABLES, TEXTURE_PX, Page, cloud, speckle, table, tooth
from studio.demo.pencil import Stroke

Floats = NDArray[np.float64]
Picture = NDArray[np.float32]
CELL_PX = 8  # the light is worked out on a coarse grid: shadows are soft
PARTICLES_PER_PX = 14.0  # of graphite, along a line of full pressure


@dataclass(frozen=True)
class Shot:
    """How one photograph is taken. Everything else follows from the seed."""

    seed: int
    width_px: int = 840
    height_px: int = 1120
    table: str = "wood"
    ink: tuple[int, int, int] = (62, 60, 64)
    looks_at_mm: tuple[float, float] | None = None  # middle of the view; the page's when None
    view_mm: float | None = None  # width seen at the page; about the page's when None
    quality: int = 80


def table_of(seed: int) -> str:
    """Return the table that one student works at."""
    return str(np.random.default_rng(seed).choice(TABLES, p=[0.4, 0.3, 0.18, 0.12]))


def photographed(page: Page, strokes: list[Stroke], shot: Shot) -> Image.Image:
    """Return the RGB photograph of a page with strokes on it."""
    rng = np.random.default_rng(shot.seed)
    camera = _camera(page, shot, rng)
    size = (shot.height_px, shot.width_px)
    ink = _graphite(strokes, camera, size, rng)
    rules, sheet = _printed(page, camera, size)
    spine = _seen(camera, np.array([[0.0, page.height_mm / 2]]))[0, 0] / size[1] * 2 - 1
    light = _light(sheet, float(spine), size, rng)
    shade = _shade(sheet, size)
    grain = _piece(cloud(), size, rng) * page.grain + 1.0
    desk = _piece(table(shot.table), size, rng)
    noise = _piece(speckle(), size, rng) * float(rng.uniform(1.2, 3.2))
    warm = np.array([1.0, 0.985, 0.96]) if chance(rng, 0.5) else np.array([0.972, 0.987, 1.0])
    warm = warm * rng.uniform(0.93, 1.03)
    planes = []
    for channel in range(3):
        tone = page.colour[channel] * grain
        tone -= rules * (page.colour[channel] - page.rule_colour[channel])
        tone += ink * (shot.ink[channel] - tone)
        under = desk[channel] * shade
        tone -= under
        tone *= sheet
        tone += under
        tone *= light * np.float32(warm[channel])
        tone += noise
        planes.append(Image.fromarray(np.clip(tone, 0, 255).astype(np.uint8)))
    return Image.merge("RGB", planes)


def jpeg(image: Image.Image, *, quality: int = 80, exif: Image.Exif | None = None) -> bytes:
    """Return the picture as JPEG bytes, with EXIF data if given."""
    out = io.BytesIO()
    image.save(out, "JPEG", quality=quality, exif=exif or Image.Exif())
    return out.getvalue()


def exif_of(
    *,
    latitude: float | None = None,
    longitude: float | None = None,
    orientation: int = 1,
    taken_at: datetime | None = None,
) -> Image.Exif:
    """Return EXIF data as a phone writes it: orientation, maker, time and, in degrees, the place.

    Tags as in Exif 2.3 (from memory): 0x0112 orientation, 0x010F make, 0x0110 model, 0x9003 time
    taken; in the GPS directory 1-4 latitude and longitude with their hemispheres.
    """
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F], exif[0x0110] = "Invented Phone Works", "Pocket 3"
    if taken_at is not None:
        exif.get_ifd(0x8769)[0x9003] = f"{taken_at:%Y:%m:%d %H:%M:%S}"
    if latitude is not None and longitude is not None:
        place = exif.get_ifd(0x8825)
        place[1], place[2] = "N" if latitude >= 0 else "S", _degrees(latitude)
        place[3], place[4] = "E" if longitude >= 0 else "W", _degrees(longitude)
    return exif


def turned(image: Image.Image, orientation: int) -> Image.Image:
    """Return the stored pixels of an upright picture for an EXIF orientation of 1 to 8."""
    turns = Image.Transpose
    undo = {
        2: turns.FLIP_LEFT_RIGHT, 3: turns.ROTATE_180, 4: turns.FLIP_TOP_BOTTOM,
        5: turns.TRANSPOSE, 6: turns.ROTATE_90, 7: turns.TRANSVERSE, 8: turns.ROTATE_270,
    }  # fmt: skip
    return image.transpose(undo[orientation]) if orientation in undo else image


def _degrees(value: float) -> tuple[float, float, float]:
    minutes = abs(value) % 1 * 60
    return float(int(abs(value))), float(int(minutes)), round(minutes % 1 * 60, 2)


def _camera(page: Page, shot: Shot, rng: np.random.Generator) -> Floats:
    """3 × 3 matrix from page mm to pixels: a pinhole held over the page by hand."""
    across, along, turn = np.radians(rng.normal(0.0, [3.2, 4.5, 1.9]))
    view_mm = (shot.view_mm or page.width_mm) * rng.uniform(0.9, 1.12)
    focal = 1.25 * shot.width_px  # px: a phone's main lens sees about 44 degrees across
    distance = focal * view_mm / shot.width_px
    cx, sx, cy, sy = np.cos(along), np.sin(along), np.cos(across), np.sin(across)
    cz, sz = np.cos(turn), np.sin(turn)
    rotation = (
        np.array([[1, 0, 0], [0, cx, -sx], [0, sx, cx]])
        @ np.array([[cy, 0, sy], [0, 1, 0], [-sy, 0, cy]])
        @ np.array([[cz, -sz, 0], [sz, cz, 0], [0, 0, 1]])
    )
    middle = np.array(shot.looks_at_mm or (page.width_mm / 2, page.height_mm / 2))
    middle = middle + rng.normal(0.0, [0.05, 0.04]) * page.width_mm
    origin = rotation[:, :2] @ -middle + [0, 0, distance]
    lens = np.array([[focal, 0, shot.width_px / 2], [0, focal, shot.height_px / 2], [0, 0, 1]])
    return np.asarray(lens @ np.column_stack([rotation[:, 0], rotation[:, 1], origin]))


def _seen(camera: Floats, points: Floats) -> Floats:
    """Page points (n, 2) in mm as pixels."""
    flat = np.column_stack([points, np.ones(len(points))]) @ camera.T
    return np.asarray(flat[:, :2] / flat[:, 2:])


def _graphite(
    strokes: list[Stroke], camera: Floats, size: tuple[int, int], rng: np.random.Generator
) -> Picture:
    """How much the strokes cover each pixel, 0 to 1: a scatter of particles on the paper's tooth.

    Particles rather than drawn lines, because grain and soft edges come with them at no cost.
    """
    if not strokes:
        return np.zeros(size, dtype=np.float32)
    points = np.concatenate([stroke.points for stroke in strokes])
    push = np.concatenate([stroke.pressure for stroke in strokes])
    wide = np.concatenate([np.full(len(s.points), s.width_mm) for s in strokes])
    ends = np.cumsum([len(stroke.points) for stroke in strokes])[:-1] - 1
    px = _seen(camera, points)
    step = np.diff(px, axis=0)
    length = np.hypot(*step.T)
    length[ends] = 0.0  # no ink between one stroke and the next
    scale = float(np.median(length[length > 0])) / 0.7
    smudge = rng.uniform(0.1, 0.7)
    count = rng.poisson(length * PARTICLES_PER_PX * np.maximum(wide[:-1], 0.3) / 0.6)
    origin = np.repeat(np.arange(len(count)), count)
    along = rng.random(len(origin), dtype=np.float32)
    spread = rng.standard_normal((2, len(origin)), dtype=np.float32)
    reach = (0.36 * scale) * wide[origin]
    x = px[origin, 0] + along * step[origin, 0] + spread[0] * reach
    y = px[origin, 1] + along * step[origin, 1] + spread[1] * reach
    inside = (x >= 0) & (y >= 0) & (x < size[1] - 1) & (y < size[0] - 1)
    x, y, weight = x[inside], y[inside], push[origin[inside]]
    col, row = x.astype(np.int32), y.astype(np.int32)
    weight = weight * tooth()[row & 1023, col & 1023]
    fx, fy = x - col, y - row
    cell = np.concatenate([row * size[1] + col + shift for shift in (0, 1, size[1], size[1] + 1)])
    shares = [(1 - fx) * (1 - fy), fx * (1 - fy), (1 - fx) * fy, fx * fy]
    amount = np.concatenate([weight * share for share in shares])
    density = np.bincount(cell, amount, size[0] * size[1]).reshape(size).astype(np.float32)
    rows, columns = (slice(max(0, k.min() - 40), k.max() + 42) for k in (row, col))
    cover = np.zeros(size, dtype=np.float32)
    cover[rows, columns] = _smeared(1.0 - np.exp(-0.32 * density[rows, columns]), float(smudge))
    return cover


def _smeared(ink: Picture, smudge: float) -> Picture:
    """Ink after the lens, a little soft, and the heel of the hand: a grey haze round the lines."""
    ink[1:-1] = 0.5 * ink[1:-1] + 0.25 * (ink[:-2] + ink[2:])
    ink[:, 1:-1] = 0.5 * ink[:, 1:-1] + 0.25 * (ink[:, :-2] + ink[:, 2:])
    coarse = Image.fromarray(ink).reduce(16)
    haze = gaussian_filter(np.asarray(coarse), 1.3) * smudge
    wide = Image.fromarray(haze).resize(ink.shape[::-1], Image.Resampling.BILINEAR)
    return np.asarray(np.maximum(ink, np.minimum(0.12, np.asarray(wide))), dtype=np.float32)


def _printed(page: Page, camera: Floats, size: tuple[int, int]) -> tuple[Picture, Picture]:
    """Printed rules and the sheet itself, both as cover 0 to 1; drawn at twice the size."""
    double = (2 * size[1], 2 * size[0])
    sheet, rules = Image.new("L", double, 0), Image.new("L", double, 0)
    wide, high = page.width_mm, page.height_mm
    edge = _seen(camera, _edge(wide, high))
    ImageDraw.Draw(sheet).polygon([(2 * x, 2 * y) for x, y in edge], fill=255)
    if page.holes_x_mm is not None:
        pen = ImageDraw.Draw(sheet)
        spots = np.array([[page.holes_x_mm, y] for y in np.arange(7.0, high, 8.0)])
        for x, y in 2 * _seen(camera, spots):
            pen.ellipse((x - 12, y - 11, x + 12, y + 11), fill=0)
    lines = list(page.rules)
    if page.margin_x_mm is not None:
        lines.append((page.margin_x_mm, 0.0, page.margin_x_mm, high))
    if not lines:
        return np.zeros((1, 1), dtype=np.float32), _cover(sheet)
    pen = ImageDraw.Draw(rules)
    ends = 2 * _seen(camera, np.array(lines).reshape(-1, 2)).reshape(-1, 4)
    for x0, y0, x1, y1 in ends:
        pen.line((x0, y0, x1, y1), fill=190, width=3)
    return _cover(rules), _cover(sheet)


def _edge(wide: float, high: float) -> Floats:
    """The sheet's edge in mm; long sides bend a little, as paper that was leafed through does."""
    at = np.linspace(0.0, 1.0, 12)[:, None]
    bend = 4 * at * (1 - at)
    right = [wide, 0] + at * [0, high] + bend * [0.8, 0]
    foot = [wide, high] + at * [-wide, 0] + bend * [0, -0.9]
    return np.concatenate([[[0.0, 0.0]], right, foot])


def _cover(double: Image.Image) -> Picture:
    return np.asarray(double.reduce(2), dtype=np.float32) * np.float32(1 / 255)


def _light(
    sheet: Picture, spine: float, size: tuple[int, int], rng: np.random.Generator
) -> Picture:
    """Light on the scene, about 1: a window to one side, darker corners, the shadow of a hand.

    `spine` is where the page's bound edge lies across the picture, -1 to 1.
    """
    small = sheet[4::CELL_PX, 4::CELL_PX]
    y, x = np.mgrid[-1 : 1 : small.shape[0] * 1j, -1 : 1 : small.shape[1] * 1j]
    side = rng.uniform(0, 2 * np.pi)
    light = 0.99 + rng.uniform(0.03, 0.15) * (x * np.cos(side) + y * np.sin(side))
    light -= rng.uniform(0.01, 0.06) * (x * x + y * y)
    if chance(rng, 0.5):  # the phone and the hand that holds it, from below or one side
        turn = rng.uniform(-1.1, 1.1) + np.pi / 2
        out = x * np.cos(turn) + y * np.sin(turn)
        across = -x * np.sin(turn) + y * np.cos(turn) - rng.uniform(-0.4, 0.4)
        edge = rng.uniform(0.35, 0.95) + 0.5 * across**2 + 0.05 * np.sin(across * 7 + side)
        soft = rng.uniform(0.06, 0.2)
        light *= 1.0 - rng.uniform(0.07, 0.26) / (1.0 + np.exp((edge - out) / soft))
    if chance(rng, 0.35):  # the page rises towards the binding
        light *= 1.0 - 0.22 * np.exp(-np.maximum(0.0, x - spine) / 0.12)
    return _spread(light, size)


def _shade(sheet: Picture, size: tuple[int, int]) -> Picture:
    """The sheet's own shadow on the table, about 1."""
    fall = gaussian_filter(sheet[4::CELL_PX, 4::CELL_PX], 1.6)
    return _spread(1.0 - 0.45 * np.roll(fall, (1, 1), axis=(0, 1)), size)


def _spread(grid: NDArray[Any], size: tuple[int, int]) -> Picture:
    """A coarse grid of light over the whole picture."""
    small = Image.fromarray(grid.astype(np.float32))
    return np.asarray(small.resize((size[1], size[0]), Image.Resampling.BILINEAR))


def _piece(texture: Picture, size: tuple[int, int], rng: np.random.Generator) -> Picture:
    """A piece of a large texture from a random place, as large as asked."""
    top = int(rng.integers(TEXTURE_PX[0] - size[0] + 1))
    left = int(rng.integers(TEXTURE_PX[1] - size[1] + 1))
    return texture[..., top : top + size[0], left : left + size[1]]
