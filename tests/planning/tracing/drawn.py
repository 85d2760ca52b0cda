"""Side drawings at full size with height lines, each with its true half-widths."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.interpolate import PchipInterpolator

from .scene import Array, Camera, Canvas, Photo, photographed


@dataclass(frozen=True)
class Sheet:
    """How a pot is drawn. Lengths in mm; `half` leaves out the left side and draws an axis."""

    height_mm: float = 400.0
    widest_mm: float = 125.0
    spacing_mm: float = 20.0
    first_mm: float = 0.0
    half: bool = False
    axis: bool = True
    rim_line: bool = True
    across: bool = True  # height lines run across the paper, else from side to side
    ruled_mm: float = 0.0
    ruled_deg: float = 0.0
    labels: bool = True
    pen: bool = False
    card_on_paper: bool = True
    card_turn_deg: float = 3.0
    shrink: float = 1.0
    asymmetry: float = 0.02
    base_line: bool = True
    card: bool = True
    wobble_mm: float = 0.15
    straight: bool = False
    more: "Callable[[Page], None] | None" = None  # draws what else is on the paper


@dataclass(frozen=True)
class Page:
    """A pot on its paper: half-widths by height, the axis and the table in mm on the canvas."""

    canvas: Canvas
    left: PchipInterpolator
    right: PchipInterpolator
    axis: float
    table: float
    paper_right: float

    def line(self, x: Array | float, heights: Array) -> Array:
        """Places (n, 2) on the canvas, `x` mm right of the axis."""
        return np.column_stack((self.axis + x + 0 * heights, self.table - heights))


@dataclass(frozen=True)
class Drawn:
    """The photo, and the truth: half-widths by height in mm, and where the table and axis are."""

    photo: Photo
    left: PchipInterpolator
    right: PchipInterpolator
    height_mm: float
    axis_and_table: tuple[float, float]


def drawn(sheet: Sheet, camera: Camera, seed: int) -> Drawn:
    rng = np.random.default_rng(seed)
    right = _shape(sheet, rng)
    left = right if sheet.half else _other(right, sheet, rng)
    wide = sheet.widest_mm * 1.06
    room = 18.0
    paper_w = max((wide if sheet.half else 2 * wide) + 2 * room + 22, 146)
    beside = not sheet.card_on_paper
    paper_h = sheet.height_mm + 60 + (112 if sheet.card_on_paper else 0)
    canvas = Canvas(paper_w + 30 + (150 if beside else 0), paper_h + 30, rng)
    canvas.paper(15, 15, paper_w, paper_h)
    table = 15 + sheet.height_mm + 36
    axis = 15 + room + (8 if sheet.half else wide)
    page = Page(canvas, left, right, axis, table, 15 + paper_w)
    if sheet.ruled_mm:
        slope = np.tan(np.radians(sheet.ruled_deg))
        for y in np.arange(35 + rng.uniform(0, 5), 9 + paper_h, sheet.ruled_mm):
            canvas.stroke(np.array(((15.0, y), (15 + paper_w, y + slope * paper_w))), 0.3, 0.14, 0)
    _height_lines(page, sheet, rng)
    _contour(page, sheet, rng)
    if sheet.labels:
        canvas.text("vase no 3, 4B", axis + 12, 15 + 14, 5, 0.5)
    if sheet.card:
        at = (15 + paper_w + 78, table - 90) if beside else (15 + 73, table + 68)
        canvas.card(at[0], at[1], turn_deg=sheet.card_turn_deg, shrink=sheet.shrink)
    if sheet.more is not None:
        sheet.more(page)
    photo = photographed(canvas, camera)
    return Drawn(photo, left, right, sheet.height_mm, (axis, table))


def _shape(sheet: Sheet, rng: np.random.Generator) -> PchipInterpolator:
    """Foot, belly, shoulder, neck and lip of a pot that nobody has made."""
    most = sheet.widest_mm
    if sheet.straight:
        return PchipInterpolator(np.array((0.0, sheet.height_mm)), np.array((most, most)))
    at = np.array((0, 0.12, rng.uniform(0.3, 0.55), rng.uniform(0.66, 0.78), 0.88, 1.0))
    foot, neck = rng.uniform(0.4, 0.65), rng.uniform(0.35, 0.6)
    width = np.array((foot, foot + 0.12, 1.0, rng.uniform(0.68, 0.85), neck, neck + 0.12))
    curve = PchipInterpolator(at * sheet.height_mm, width * most)
    fine = np.linspace(0, sheet.height_mm, 400)
    kernel = np.hanning(31) / np.hanning(31).sum()
    soft = np.convolve(np.pad(curve(fine), 15, mode="reflect", reflect_type="odd"), kernel, "valid")
    return PchipInterpolator(fine, soft + _wobble(fine, sheet.wobble_mm, rng))


def _other(shape: PchipInterpolator, sheet: Sheet, rng: np.random.Generator) -> PchipInterpolator:
    heights = np.linspace(0, sheet.height_mm, 400)
    part = heights / sheet.height_mm
    swing = sheet.asymmetry * np.sin(2 * np.pi * (part * rng.uniform(0.4, 1) + rng.uniform()))
    return PchipInterpolator(
        heights, shape(heights) * (1 + swing) + _wobble(heights, sheet.wobble_mm, rng)
    )


def _wobble(heights: Array, size_mm: float, rng: np.random.Generator) -> Array:
    """A hand's unsteadiness: waves of 15 mm and longer."""
    waves = sum(
        rng.normal() * np.sin(2 * np.pi * heights / length + rng.uniform(0, 6.3))
        for length in (15, 23, 37, 61)
    )
    return size_mm / 2 * np.asarray(waves)


def _pencil(sheet: Sheet, rng: np.random.Generator) -> dict[str, float]:
    if sheet.pen:
        return {"width_mm": 0.5, "darkness": rng.uniform(0.7, 0.9), "grain": 0.05}
    return {
        "width_mm": rng.uniform(0.5, 0.8),
        "darkness": rng.uniform(0.4, 0.7),
        "grain": rng.uniform(0.3, 0.8),
    }


def _height_lines(page: Page, sheet: Sheet, rng: np.random.Generator) -> None:
    darkness = rng.uniform(0.25, 0.4)
    levels = np.arange(sheet.first_mm, sheet.height_mm + 0.1, sheet.spacing_mm)
    for number, height in enumerate(levels):
        start = page.axis - (2 if sheet.half else sheet.widest_mm * 1.06 + 8)
        end = page.paper_right - 20
        if not sheet.across:
            start = page.axis - (0.0 if sheet.half else float(page.left(height)))
            end = page.axis + float(page.right(height))
        y = page.table - height + rng.normal(0, 0.15)
        tilt = rng.normal(0, 0.04) * np.pi / 180
        left, right = y - tilt * (page.axis - start), y + tilt * (end - page.axis)
        page.canvas.stroke(np.array(((start, left), (end, right))), 0.35, darkness, 0.4)
        if sheet.labels and sheet.across:
            words = f"{number * sheet.spacing_mm / 10:g}"
            page.canvas.text(words, end + 3, y + 1.5, 3.5, 0.5)


def _contour(page: Page, sheet: Sheet, rng: np.random.Generator) -> None:
    pencil = _pencil(sheet, rng)
    heights = np.linspace(0, sheet.height_mm, 800)
    page.canvas.stroke(page.line(page.right(heights), heights), **pencil)
    if not sheet.half:
        page.canvas.stroke(page.line(-page.left(heights), heights), **pencil)
    for height in [0.0] * sheet.base_line + [sheet.height_mm] * sheet.rim_line:
        start = 0.0 if sheet.half else -float(page.left(height))
        across = np.array((start, float(page.right(height))))
        page.canvas.stroke(page.line(across, np.full(2, height)), **pencil)
    if sheet.axis or sheet.half:
        thin = {**pencil, "width_mm": 0.35, "darkness": pencil["darkness"] * 0.8}
        for start in np.arange(-8, sheet.height_mm + 6, 20):
            for a, b in ((0, 12), (15, 17)):
                page.canvas.stroke(page.line(0.0, np.array((start + a, start + b))), **thin)
