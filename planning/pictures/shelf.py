"""A class's pots side by side: one scale for all, and where each one's marks go.

Pure: the standard library only. All lengths in millimetres become drawing units of one box per pot;
every box of a shelf has the same size, so that the page may scale them together.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from planning.pictures.levels import level_at
from planning.pictures.outline import FOOT_TILT, Place, Point, PotDrawing, Sample, pot_drawing

BOX = 150.0  # a pot's share of a shelf: an eighth of a laptop's page at full size
TALLEST = 176.0
WIDEST = 136.0
HEAD = 20.0  # above the tallest, for its rim and a flag
FOOT = 5.0  # below the table, where the near edge of a foot shows
LEAST_HEIGHT = 120.0
FLAG_ROOM = 20.0
LINE_BEYOND = 9.0


@dataclass(frozen=True)
class Ware:
    """What a shelf shows of one piece, in words and shape.

    `line_mm`: a height that is marked on it, `note` a line under its name about how far it is.
    """

    code: str
    name: str
    url: str
    stage: str
    stage_label: str
    silhouette: Sequence[Sample] | None = None
    image_url: str = ""
    flag: str = ""
    question: str = ""
    line_mm: float | None = None
    note: str = ""


@dataclass(frozen=True)
class Standing:
    """One piece at its place: `drawing` is None where a photo or nothing stands instead."""

    ware: Ware
    drawing: PotDrawing | None
    mark: Point  # where a flag or a question stands, beside the rim
    line: str = ""  # the height that is marked, as a path across the pot

    @property
    def mark_at(self) -> str:
        """The place of the mark as an SVG transformation."""
        return f"translate({self.mark[0]:.1f} {self.mark[1]:.1f})"


@dataclass(frozen=True)
class Shelf:
    """All pieces of a shelf in boxes of `width` × `height` drawing units."""

    width: float
    height: float
    standing: list[Standing]

    @property
    def view_box(self) -> str:
        return f"0 0 {self.width:.0f} {self.height:.0f}"


def shelf(wares: Iterable[Ware]) -> Shelf:
    """Every piece drawn to the one scale at which the tallest and the widest still fit."""
    listed = list(wares)
    drawn = [ware.silhouette for ware in listed if ware.silhouette]
    scale = one_scale(drawn, tallest=TALLEST, widest=WIDEST)
    top = max((silhouette[-1][0] for silhouette in drawn), default=0.0) * scale
    height = float(round(max(top + HEAD + FOOT, LEAST_HEIGHT)))
    return Shelf(BOX, height, [_standing(ware, scale, height - FOOT) for ware in listed])


def one_scale(silhouettes: Sequence[Sequence[Sample]], *, tallest: float, widest: float) -> float:
    """Drawing units per mm at which every silhouette is within both limits; 1 for none."""
    high = max((sample[0] for each in silhouettes for sample in each), default=0.0)
    # Both sides count from the axis, which stays in the middle of the box.
    wide = max((2 * max(sample[1:]) for each in silhouettes for sample in each), default=0.0)
    if not high or not wide:
        return 1.0
    return min(tallest / high, widest / wide)


def alone(silhouette: Sequence[Sample], *, width: float) -> tuple[PotDrawing, float]:
    """A pot by itself in a box of `width`: its drawing and the height of the box."""
    scale = one_scale([silhouette], tallest=width * 1.4, widest=width - 8)
    foot = max(4.0, silhouette[0][2] * scale * FOOT_TILT + 2)
    head = silhouette[-1][2] * scale * 0.16 + 4
    height = silhouette[-1][0] * scale + head + foot
    return pot_drawing(silhouette, Place(scale, width / 2, height - foot)), height


def _standing(ware: Ware, scale: float, table: float) -> Standing:
    if not ware.silhouette:
        return Standing(ware, None, (BOX - FLAG_ROOM, table - 88))
    place = Place(scale, BOX / 2, table)
    drawing = pot_drawing(ware.silhouette, place)
    beside = drawing.rim.cx + drawing.rim.rx + 7
    mark = (min(beside, BOX - FLAG_ROOM), drawing.rim.cy)
    return Standing(ware, drawing, mark, _line(ware, place))


def _line(ware: Ware, place: Place) -> str:
    """Level across the pot and a little beyond it, at the height that is marked."""
    if ware.line_mm is None or not ware.silhouette:
        return ""
    level = level_at(ware.silhouette, ware.line_mm)
    (left, y), (right, _y) = place.left(level), place.right(level)
    return f"M{left - LINE_BEYOND:.1f} {y:.1f}H{right + LINE_BEYOND:.1f}"
