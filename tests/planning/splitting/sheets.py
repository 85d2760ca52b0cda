"""Photographed sheets of thumbnails, and where each of their drawings is."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import cv2
import numpy as np

from tests.planning.exploration.drawn import TOOLS, Tool, Way, press, strokes_of
from tests.planning.exploration.ideas import FITTED, UNSEEN, Array, idea, redrawn

from .pages import PX_PER_MM, page
from .photos import photographed
from .writing import FONTS, NOTES, TITLES, arrow, frame, measure, numbered, without_rim, written

THICK_MM = {"pencil": 0.5, "soft pencil": 0.8, "pen": 0.5, "charcoal": 2.0}
Form = Callable[[int], Array]


@dataclass(frozen=True)
class Sheet:
    """A gray photo, and the boxes (n, 4) of its drawings in the order of reading: x, y, width,
    height in pixels."""

    picture: Array
    boxes: Array
    paper: str


@dataclass(frozen=True)
class Hand:
    """What stays the same over a sheet."""

    tool: str
    passes: int
    font: int
    letter_px: float
    framed: bool
    numbers: bool
    ring: bool
    noted: float
    gap_px: float
    pressure: float
    measured: bool


def made_up(seed: int) -> Array:
    return idea(seed, FITTED + UNSEEN)


def sheet(seed: int, paper: str, form: Form = made_up, count: int | None = None) -> Sheet:
    """The photo of a page with `count` drawings, 2 to 20 if not said; the same seed, the same."""
    rng = np.random.default_rng((seed, 77))
    count = int(rng.integers(2, 21)) if count is None else count
    base = page(paper, rng)
    hand = _hand(rng)
    cells = _cells(base.shape, count, rng)
    boxes = []
    for number, cell in enumerate(cells):
        outline = redrawn(form(1000 * seed + number), rng, 0.5)
        boxes.append(_drawn_in(base, outline, cell, hand, number=number + 1, rng=rng))
    if rng.random() < 0.4:
        title = str(rng.choice(TITLES))
        mask = written(title, 1.3 * hand.letter_px, rng, hand.font, 3)
        at = rng.uniform(0.06, 0.4) * base.shape[1], rng.uniform(0.015, 0.035) * base.shape[0]
        _ink(base, mask, at, hand, rng)
    if rng.random() < 0.15:
        at = rng.uniform(0.05, 0.3) * base.shape[1]
        for number, text in enumerate(rng.choice(NOTES, (3, 3))):
            mask = written(" ".join(text), hand.letter_px, rng, hand.font, 2)
            y = base.shape[0] - (4 - number) * 1.9 * hand.letter_px
            _ink(base, mask, (at, y), hand, rng)
    picture, there = photographed(base, rng)
    return Sheet(picture, np.array([_seen(each, there) for each in boxes]), paper)


def _hand(rng: np.random.Generator) -> Hand:
    crowded = rng.random() < 0.12
    return Hand(
        tool=str(rng.choice(list(TOOLS), p=(0.45, 0.25, 0.2, 0.1))),
        passes=int(rng.integers(1, 4)),
        font=int(rng.choice(FONTS)),
        letter_px=PX_PER_MM * rng.uniform(2.5, 4.5),
        framed=bool(rng.random() < 0.08),
        numbers=bool(rng.random() < 0.4),
        ring=bool(rng.random() < 0.4),
        noted=float(rng.choice((0, 0, 0.2, 0.5, 0.9))),
        gap_px=PX_PER_MM * (rng.uniform(0.3, 2) if crowded else rng.uniform(3, 7)),
        pressure=float(rng.choice((0.6, 1.0), p=(0.12, 0.88))),
        measured=bool(rng.random() < 0.12),
    )


def _cells(shape: tuple[int, ...], count: int, rng: np.random.Generator) -> Array:
    """(count, 4): x, y, width, height of places in loose rows, some of them left empty."""
    high, wide = shape
    edge = 0.05 * max(shape)
    top = edge + rng.uniform(0.02, 0.05) * high
    room = np.array((wide - 2 * edge, high - top - edge))
    ways = [
        (rows, columns)
        for rows in range(1, 7)
        for columns in range(1, 7)
        if count <= rows * columns <= count + max(columns - 1, count // 4)
        and 0.55 < (room[0] / columns) / (room[1] / rows) < 1.9
    ]
    rows, columns = ways[int(rng.integers(len(ways)))] if ways else (count, 1)
    places = np.sort(rng.permutation(rows * columns)[:count])
    if rng.random() < 0.6:  # filled up from the top, as most do
        places = np.arange(count)
    size = room / (columns, rows)
    corners = np.column_stack((places % columns, places // columns)) * size + (edge, top)
    return np.column_stack((corners, np.tile(size, (count, 1))))


def _drawn_in(
    base: Array, outline: Array, cell: Array, hand: Hand, *, number: int, rng: np.random.Generator
) -> Array:
    """Draw a form and what is beside it; the corners (4, 2) of its strokes' box on the page."""
    corner, size = cell[:2].copy(), cell[2:].copy()
    frame_room = 2.5 * PX_PER_MM if hand.framed else 0.0
    # Notes stand under a drawing or to its right, numbers in the corner on the left.
    note = rng.random() < hand.noted
    below = bool(rng.random() < 0.6)
    text = written(str(rng.choice(NOTES)), hand.letter_px, rng, hand.font, 2) if note else None
    if text is not None and (text.shape[1] > 0.9 * size[0] or (not below and size[0] < 300)):
        text = None
    inner = size - hand.gap_px - 2 * frame_room
    start = corner + hand.gap_px / 2 + frame_room
    if hand.numbers:
        mark = numbered(number, hand.letter_px, rng, 2, hand.ring)
        _ink(base, mark, tuple(start), hand, rng)
        start[0] += mark.shape[1] + 6
        inner[0] -= mark.shape[1] + 6
    apart = PX_PER_MM * rng.uniform(1.5, 4)
    if text is not None:
        taken = (0, text.shape[0] + apart) if below else (text.shape[1] + apart, 0)
        inner = inner - np.minimum(taken, 0.45 * inner)
    box = np.ptp(outline, axis=0)
    part = rng.uniform(0.55, 1.0)
    scale = part * float((inner / box).min())
    drawn_size = box * scale
    at = start + rng.uniform(0.1, 0.9, 2) * (inner - drawn_size)
    line = (outline - outline.min(axis=0)) * scale + at
    if hand.framed:
        sides = frame(corner + hand.gap_px / 2, size - hand.gap_px, rng)
        _pressed(base, [(each, 0.8) for each in sides], _tool(hand), rng)
    way = Way(tool=hand.tool, passes=hand.passes, marks=bool(rng.random() < 0.35))
    strokes = strokes_of(line, way, rng)
    if rng.random() < 0.08:
        strokes = without_rim(strokes, line)
    box_px = _pressed(base, strokes, _tool(hand, rng), rng)
    if hand.measured and text is None:
        beside = measure(line, 1.5 * PX_PER_MM)
        _pressed(base, [(each, 0.7) for each in beside], _tool(hand), rng)
    if text is not None:
        low = line.max(axis=0)
        place = (
            (at[0] + rng.uniform(-0.1, 0.3) * drawn_size[0], low[1] + apart)
            if below
            else (low[0] + apart, at[1] + rng.uniform(0, 0.7) * drawn_size[1])
        )
        _ink(base, text, place, hand, rng)
        if rng.random() < 0.25 and not below:
            tip = (low[0] + 3, at[1] + rng.uniform(0.2, 0.8) * drawn_size[1])
            _pressed(base, [(each, 0.7) for each in arrow(place, tip, 12, rng)], _tool(hand), rng)
    x, y, wide, high = box_px
    return np.array(((x, y), (x + wide, y), (x + wide, y + high), (x, y + high)), float)


def _tool(hand: Hand, rng: np.random.Generator | None = None) -> Tool:
    """Its thickness as `press` wants it for a patch 480 pixels large."""
    tool = TOOLS[hand.tool]
    dark = tool.dark * hand.pressure * (1.0 if rng is None else rng.uniform(0.75, 1.1))
    thin = 1.0 if rng is not None else 0.7
    return replace(tool, dark=dark, thick=thin * THICK_MM[hand.tool] * PX_PER_MM)


def _pressed(
    base: Array, strokes: list[tuple[Array, float]], tool: Tool, rng: np.random.Generator
) -> Array:
    """Press strokes on the page where they are; their box: x, y, width, height."""
    points = np.vstack([stroke for stroke, _ in strokes])
    room = tool.thick / 2
    low, high = points.min(axis=0) - room, points.max(axis=0) + room
    low = np.maximum(np.floor(low), 0).astype(int)
    high = np.minimum(np.ceil(high), (base.shape[1], base.shape[0])).astype(int)
    patch = base[low[1] : high[1], low[0] : high[0]]
    tool = replace(tool, thick=tool.thick * 480 / max(patch.shape))
    for stroke, firm in strokes:
        press(patch, stroke - low, tool, firm, rng)
    return np.array((*low, *(high - low)))


def _ink(
    base: Array, mask: Array, at: tuple[float, ...], hand: Hand, rng: np.random.Generator
) -> None:
    x, y = (max(0, round(float(k))) for k in at)
    patch = base[y : y + mask.shape[0], x : x + mask.shape[1]]
    mask = mask[: patch.shape[0], : patch.shape[1]]
    tool = TOOLS["pencil" if hand.tool == "charcoal" else hand.tool]
    tool = replace(tool, dark=hand.pressure * tool.dark)
    rough = cv2.GaussianBlur(rng.normal(0, 1, mask.shape).astype(np.float32), (0, 0), 0.8)
    pressed = np.clip(tool.dark * (1 + tool.grain * rough), 0.1, 0.92)
    patch *= 1 - pressed * (mask / np.float32(255))


def _seen(corners: Array, there: Array) -> Array:
    """The box in the photo of what is between these corners on the page."""
    seen = cv2.perspectiveTransform(corners[np.newaxis], there)[0]
    low, high = seen.min(axis=0), seen.max(axis=0)
    return np.array((*low, *(high - low)))
