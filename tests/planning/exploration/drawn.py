"""An outline drawn on paper with a tool and photographed: gray pictures, made for tests."""

from dataclasses import dataclass, replace
from itertools import pairwise

import cv2
import numpy as np

from .ideas import Array


@dataclass(frozen=True)
class Tool:
    """Pixels of a picture 480 high, darkness 0 to 1, and how rough the line is."""

    thick: float
    dark: float
    grain: float


TOOLS = {
    "pencil": Tool(2, 0.45, 0.5),
    "soft pencil": Tool(3, 0.6, 0.5),
    "pen": Tool(2, 0.85, 0.05),
    "charcoal": Tool(6, 0.7, 0.5),
}
PAPERS = ("plain", "toned", "ruled", "squared")


@dataclass(frozen=True)
class Way:
    """How a drawing is made on its paper."""

    tool: str = "pencil"
    paper: str = "plain"
    turn_deg: float = 0.0
    mirrored: bool = False
    part: float = 0.62  # of the picture's height or width that it fills
    shift: tuple[float, float] = (0.0, 0.0)
    passes: int = 2
    marks: bool = False
    size: tuple[int, int] = (480, 360)


def any_way(rng: np.random.Generator, mirrored: bool | None = None) -> Way:
    """A way that varies all that says nothing about the form."""
    return Way(
        tool=str(rng.choice(list(TOOLS), p=(0.45, 0.25, 0.2, 0.1))),
        paper=str(rng.choice(PAPERS, p=(0.5, 0.15, 0.2, 0.15))),
        turn_deg=float(np.clip(rng.normal(0, 4), -10, 10)),
        mirrored=bool(rng.random() < 0.5) if mirrored is None else mirrored,
        part=float(rng.uniform(0.4, 0.78)),
        shift=(float(rng.uniform(-0.08, 0.08)), float(rng.uniform(-0.08, 0.08))),
        passes=int(rng.integers(1, 4)),
        marks=bool(rng.random() < 0.4),
    )


def drawn(outline: Array, way: Way, rng: np.random.Generator) -> Array:
    """The gray picture (height, width), 8 bits, of an outline of unit size, drawn and taken."""
    return taken(on_paper(outline, way, rng), rng)


def taken(
    paper: Array, rng: np.random.Generator, askew: float = 0.3, mirrored: bool = False
) -> Array:
    """A photo of a drawing on its paper, (height, width), 8 bits; another one each time.

    `askew` 1 is held by an unsteady hand: turned by a few degrees, tilted by about ten, nearer or
    farther.
    """
    high, wide = paper.shape
    if mirrored:
        paper = paper[:, ::-1]
    turn = np.radians(askew * rng.normal(0, 3))
    near = 1 - askew * rng.uniform(0, 0.18)
    there = near * np.array(((np.cos(turn), -np.sin(turn)), (np.sin(turn), np.cos(turn))))
    half = np.array((wide, high)) / 2
    place = np.eye(3)
    place[:2, :2], place[:2, 2] = there, half - there @ half
    lean = np.eye(3)
    lean[2, :2] = askew * rng.normal(0, 0.00012, 2)
    back = np.array(((1, 0, half[0]), (0, 1, half[1]), (0, 0, 1)))
    forth = np.array(((1, 0, -half[0]), (0, 1, -half[1]), (0, 0, 1)))
    photo = cv2.warpPerspective(
        paper,
        back @ lean @ forth @ place,
        (wide, high),
        flags=cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    photo = cv2.GaussianBlur(photo, (0, 0), rng.uniform(0.5, 1.0))
    photo = photo * light(paper.shape, rng.uniform(0, 1), rng) * 240
    photo = photo + rng.normal(0, rng.uniform(1, 4), photo.shape)
    return np.asarray(np.clip(photo, 0, 255).astype(np.uint8))


def on_paper(outline: Array, way: Way, rng: np.random.Generator) -> Array:
    """What each place of the paper reflects, 0 to 1, with an outline of unit size drawn on it."""
    high, wide = way.size
    line = outline * (-1, 1) if way.mirrored else outline
    turn = np.radians(way.turn_deg)
    line = line @ np.array(((np.cos(turn), np.sin(turn)), (-np.sin(turn), np.cos(turn))))
    box = np.ptp(line, axis=0)
    line = (
        (line - (line.min(axis=0) + line.max(axis=0)) / 2)
        * way.part
        * min(wide / box[0], high / box[1])
    )
    line += np.array((wide, high)) * (0.5 + np.array(way.shift))
    paper = _paper(way, rng)
    tool = replace(TOOLS[way.tool], dark=TOOLS[way.tool].dark * rng.uniform(0.75, 1.1))
    for stroke, firm in strokes_of(line, way, rng):
        press(paper, stroke, tool, firm, rng)
    return paper


def strokes_of(line: Array, way: Way, rng: np.random.Generator) -> list[tuple[Array, float]]:
    """Pulls of the hand along the ring: they overlap, now and then they don't quite meet."""
    size = float(np.ptp(line, axis=0).max())
    count = len(line)
    strokes: list[tuple[Array, float]] = []
    for number in range(way.passes):
        first = number == 0
        pulls = int(rng.integers(3, 7))
        cuts = np.linspace(0, count, pulls + 1).astype(int) + int(rng.integers(count))
        for start, end in pairwise(cuts):
            lap = int(rng.integers(-1 if first else -12, 7))
            ring = line[np.arange(start - lap, end + lap + 1) % count]
            strokes.append((ring + rng.normal(0, 0.003 * size, 2), 1.0 if first else 0.7))
    if way.marks:
        strokes += _marks(line, rng)
    return strokes


def _marks(line: Array, rng: np.random.Generator) -> list[tuple[Array, float]]:
    """Lines within the form: hatching, bands or a middle line that sticks out a little."""
    kind = rng.choice(("hatching", "bands", "middle"))
    low, high = line.min(axis=0), line.max(axis=0)
    if kind == "middle":
        x = (low[0] + high[0]) / 2
        return [(np.array(((x, low[1] - 6), (x, high[1] + 6))), 0.6)]
    marks: list[tuple[Array, float]] = []
    for y in np.linspace(low[1], high[1], int(rng.integers(5, 16)))[1:-1]:
        near = line[np.abs(line[:, 1] - y) < 3, 0]
        if len(near) < 2:
            continue
        left, right = float(near.min()), float(near.max())
        if kind == "hatching":
            left = right - 0.3 * (right - left)
        # Only where the row lies within the form.
        inside = [
            cv2.pointPolygonTest(line.astype(np.float32), (float(x), float(y)), False) >= 0
            for x in np.linspace(left, right, 9)[1:-1]
        ]
        if all(inside):
            marks.append((np.array(((left + 1, y), (right - 1, y))), 0.5))
    return marks


def press(paper: Array, stroke: Array, tool: Tool, firm: float, rng: np.random.Generator) -> None:
    mask = np.zeros(paper.shape, np.uint8)
    thick = max(1, round(tool.thick * max(paper.shape) / 480))
    line = np.rint(stroke * 16).astype(np.int32)
    cv2.polylines(mask, [line], False, 255, thick, cv2.LINE_AA, 4)
    x, y, width, height = cv2.boundingRect(mask)
    at = np.s_[y : y + height, x : x + width]
    rough = rng.normal(0, 1, (height, width)).astype(np.float32)
    pressed = tool.dark * firm * (1 + tool.grain * cv2.GaussianBlur(rough, (0, 0), 0.8))
    paper[at] *= 1 - np.clip(pressed, 0.1, 0.92) * (mask[at] / np.float32(255))


def _paper(way: Way, rng: np.random.Generator) -> Array:
    high, wide = way.size
    tone = 0.72 if way.paper == "toned" else 0.95
    paper = np.full((high, wide), tone, np.float32)
    paper += cv2.GaussianBlur(rng.normal(0, 0.02, paper.shape).astype(np.float32), (0, 0), 1.5)
    rules = np.zeros(paper.shape, np.uint8)
    step, lean = rng.uniform(16, 24), rng.uniform(-0.03, 0.03)
    if way.paper in ("ruled", "squared"):
        for y in np.arange(-wide * 0.1, high * 1.1, step):
            cv2.line(rules, (0, round(y)), (wide, round(y + lean * wide)), 255, 1, cv2.LINE_AA)
    if way.paper == "squared":
        for x in np.arange(-high * 0.1, wide * 1.1, step):
            cv2.line(rules, (round(x), 0), (round(x - lean * high), high), 255, 1, cv2.LINE_AA)
    return np.asarray(paper * (1 - rng.uniform(0.12, 0.22) * (rules / np.float32(255))))


def light(shape: tuple[int, int], depth: float, rng: np.random.Generator) -> Array:
    """Light that falls off to one side, with a soft shadow; `depth` 0 is even."""
    x, y = np.meshgrid(np.linspace(-1, 1, shape[1]), np.linspace(-1, 1, shape[0]))
    angle = rng.uniform(0, 2 * np.pi)
    fall = 1 - 0.12 * depth * (1 + x * np.cos(angle) + y * np.sin(angle))
    at, size = rng.uniform(-0.8, 0.8, 2), rng.uniform(0.4, 0.8)
    blob = 0.3 * depth * np.exp(-((((x - at[0]) ** 2 + (y - at[1]) ** 2) / size**2) ** 2))
    return np.asarray(fall * (1 - blob))
