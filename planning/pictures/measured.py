"""The measured drawing of a plan: where its outline, height lines and measures run on the page.

Pure: the standard library only. Lengths in millimetres become drawing units, y downwards.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from planning.pictures.levels import room_for_words
from planning.pictures.outline import Place, Sample, pot_drawing
from planning.pictures.shelf import one_scale

TALLEST = 400.0
WIDEST = 224.0  # a handle at the widest place still has a third of it to go outwards
HEAD = 14.0
BELOW = 46.0  # under the table: the line for the widest place and its measure
LEFT = 18.0
DATES = 118.0  # left of the lines, where dates stand: "by Wed 14 Dec"
LINES = 268.0  # how long height lines are
OVER = 14.0  # the table, and a hand that pulls, go so far beyond the lines
LABELS = 84.0  # right of the lines: the heights, at their longest "11 13/16"
WIDTH = LEFT + LINES + LABELS
# A drawing that is being changed keeps its scale until it is this much smaller than it could be, or
# reaches beyond the lines.
LEAST_SHARE = 0.72


@dataclass(frozen=True)
class PlanDrawing:
    """What the picture needs, wet: the silhouette (empty where the form can't be computed), the
    height lines as far as they are measured on both sides, where the wall stands by which date.

    Where it is `dated`, the left has room for dates. `enlarged` is wet length per length drawn.
    A foot ring of `foot_mm` lifts the pot. `kept` is the scale that the picture had before a
    change, `still` says that it may not change now.
    """

    silhouette: Sequence[Sample]
    height_lines: Sequence[Sample] = ()
    stage: str = "on_paper"
    label: str = ""
    reached: Sequence[tuple[float, str]] = ()
    dated: bool = False
    enlarged: float = 1.0
    foot_mm: float = 0.0
    kept: float | None = None
    still: bool = False

    @property
    def extent(self) -> Sequence[Sample]:
        """What the picture has to hold."""
        return [*self.silhouette, *self.height_lines]


@dataclass(frozen=True)
class HeightLine:
    y: float
    left_x: float
    right_x: float
    height_mm: float
    labelled: bool


@dataclass(frozen=True)
class DateLine:
    """Where the wall stands by a date."""

    y: float
    text: str
    labelled: bool


@dataclass(frozen=True)
class PlanPicture:
    """Everything in drawing units except `*_mm`, which the page shows in the studio's units.

    `scale` is drawing units per millimetre of the wet pot, `mm_per_unit` millimetres as drawn on
    paper per drawing unit. `profile` is "" where there is no form; `foot` the ring under it.
    """

    width: float
    height: float
    scale: float
    mm_per_unit: float
    profile: str
    foot: str
    lines: list[HeightLine]
    dates: list[DateLine]
    axis_x: float
    base_y: float
    table_y: float
    line_start_x: float
    table_start_x: float
    line_end_x: float
    widest_y: float
    widest_left_x: float
    widest_right_x: float
    widest_mm: float
    measure_y: float

    @property
    def lines_wide(self) -> float:
        return self.line_end_x - self.line_start_x

    @property
    def reach(self) -> float:
        """How far from the axis a handle may be pulled."""
        return self.axis_x - self.table_start_x

    def y_at(self, drawn_mm: float) -> float:
        """Where a height of the drawing is."""
        return self.base_y - drawn_mm / self.mm_per_unit


def plan_picture(drawing: PlanDrawing) -> PlanPicture:
    """The picture of a plan as large as its box allows, or at the scale that it keeps.

    Raises ValueError for fewer than two samples.
    """
    if len(drawing.extent) < 2:  # noqa: PLR2004 -- a line needs two ends
        message = "a silhouette has at least two samples"
        raise ValueError(message)
    scale = _scale(drawing)
    left = DATES if drawing.dated else LEFT
    axis_x = left + LINES / 2
    top = max(sample[0] for sample in drawing.extent)
    table_y = HEAD + (top + drawing.foot_mm) * scale
    place = Place(scale, axis_x, table_y - drawing.foot_mm * scale)
    widest = max(drawing.extent, key=lambda sample: sample[1] + sample[2])
    return PlanPicture(
        width=left + LINES + LABELS,
        height=table_y + BELOW,
        scale=scale,
        mm_per_unit=1 / (scale * drawing.enlarged),
        profile=pot_drawing(drawing.silhouette, place).profile if drawing.silhouette else "",
        foot=_foot(drawing, place),
        lines=_lines(drawing.height_lines, place),
        dates=_dates(drawing.reached, place),
        axis_x=axis_x,
        base_y=place.y,
        table_y=table_y,
        line_start_x=left,
        table_start_x=left - OVER,
        line_end_x=left + LINES,
        widest_y=place.right(widest)[1],
        widest_left_x=place.left(widest)[0],
        widest_right_x=place.right(widest)[0],
        widest_mm=widest[1] + widest[2],
        measure_y=table_y + 18,
    )


def _scale(drawing: PlanDrawing) -> float:
    fitting = one_scale([drawing.extent], tallest=TALLEST, widest=WIDEST)
    kept = drawing.kept
    if kept is None or not fitting / 4 <= kept <= fitting * 4:
        return fitting
    if drawing.still:
        return kept
    return kept if LEAST_SHARE <= kept / fitting <= LINES / WIDEST else fitting


def _lines(samples: Sequence[Sample], place: Place) -> list[HeightLine]:
    """Every entered line, the top one first; it is always labelled, the rest where they don't
    crowd."""
    down = sorted(samples, reverse=True)
    ends = [(*place.left(sample), place.right(sample)[0]) for sample in down]
    room = room_for_words([y for _left, y, _right in ends])
    return [
        HeightLine(y, left_x, right_x, sample[0], labelled)
        for sample, (left_x, y, right_x), labelled in zip(down, ends, room, strict=True)
    ]


def _dates(reached: Sequence[tuple[float, str]], place: Place) -> list[DateLine]:
    """From the last date down; those that would crowd are lines without a word."""
    down = sorted(reached, reverse=True)
    levels = [place.y - height * place.scale for height, _text in down]
    return [
        DateLine(y, text, labelled)
        for y, (_height, text), labelled in zip(levels, down, room_for_words(levels), strict=True)
    ]


def _foot(drawing: PlanDrawing, place: Place) -> str:
    """The foot ring from the side: as wide as the base, upright."""
    if not drawing.foot_mm:
        return ""
    (left_x, top), (right_x, _top) = place.left(drawing.extent[0]), place.right(drawing.extent[0])
    return (
        f"M{left_x:.1f} {top:.1f}V{top + drawing.foot_mm * place.scale:.1f}H{right_x:.1f}V{top:.1f}"
    )
