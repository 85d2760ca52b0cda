"""The measured drawing of a plan: where its outline, height lines and measures run on the page.

Pure: the standard library only. Lengths in millimetres become drawing units, y downwards.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from planning.pictures.outline import Place, Sample, pot_drawing
from planning.pictures.shelf import one_scale

WIDTH = 360.0
TALLEST = 400.0
WIDEST = 250.0
HEAD = 14.0
BELOW = 46.0  # under the table: the line for the widest place and its measure
LEFT = 18.0
LABELS = 74.0  # right of the lines: the heights, at their longest "11 13/16"
APART = 17.0  # two labels closer than this could not be read


@dataclass(frozen=True)
class PlanDrawing:
    """What the picture needs: the silhouette, and the height lines that were entered."""

    silhouette: Sequence[Sample]
    height_lines: Sequence[Sample] = ()
    stage: str = "on_paper"
    label: str = ""


@dataclass(frozen=True)
class HeightLine:
    y: float
    left_x: float
    right_x: float
    height_mm: float
    labelled: bool


@dataclass(frozen=True)
class PlanPicture:
    """Everything in drawing units except `*_mm`, which the page shows in the studio's units."""

    width: float
    height: float
    profile: str
    lines: list[HeightLine]
    axis_x: float
    table_y: float
    line_start_x: float
    line_end_x: float
    widest_y: float
    widest_left_x: float
    widest_right_x: float
    widest_mm: float
    measure_y: float


def plan_picture(drawing: PlanDrawing) -> PlanPicture:
    """The picture of a plan as large as its box allows.

    Raises ValueError for a silhouette of fewer than two samples.
    """
    silhouette = drawing.silhouette
    scale = one_scale([silhouette], tallest=TALLEST, widest=WIDEST)
    axis_x = LEFT + (WIDTH - LEFT - LABELS) / 2
    table_y = HEAD + max((sample[0] for sample in silhouette), default=0.0) * scale
    place = Place(scale, axis_x, table_y)
    profile = pot_drawing(silhouette, place).profile
    widest = max(silhouette, key=lambda sample: sample[1] + sample[2])
    return PlanPicture(
        width=WIDTH,
        height=table_y + BELOW,
        profile=profile,
        lines=_lines(drawing.height_lines, place),
        axis_x=axis_x,
        table_y=table_y,
        line_start_x=LEFT,
        line_end_x=WIDTH - LABELS,
        widest_y=place.right(widest)[1],
        widest_left_x=place.left(widest)[0],
        widest_right_x=place.right(widest)[0],
        widest_mm=widest[1] + widest[2],
        measure_y=table_y + 18,
    )


def _lines(samples: Sequence[Sample], place: Place) -> list[HeightLine]:
    """Every entered line; the top one is always labelled, the rest where they don't crowd."""
    lines: list[HeightLine] = []
    last_label = -APART
    for sample in sorted(samples, reverse=True):
        (left_x, y), (right_x, _y) = place.left(sample), place.right(sample)
        labelled = y - last_label >= APART
        if labelled:
            last_label = y
        lines.append(HeightLine(y, left_x, right_x, sample[0], labelled))
    return lines
