"""A pot under way: how much of its plan stands, row on row, and how far the next lesson goes.

Pure: the standard library only. Millimetres in, drawing units out, y downwards.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from planning.pictures.levels import APART, closed_path, level_at, up_to
from planning.pictures.outline import Place, Sample
from planning.pictures.shelf import one_scale

WIDTH = 360.0
TALLEST, WIDEST = 300.0, 236.0
HEAD, BELOW = 16.0, 8.0
SIDE = 56.0


@dataclass(frozen=True)
class Level:
    """A level line across the drawing at a height."""

    y: float
    left_x: float
    right_x: float
    height_mm: float


@dataclass(frozen=True)
class BuildingPicture:
    """`plan` is dashed, `clay` what stands ("" for nothing), `rows` its edges, `here` the top edge
    of the row that is laid now, `by_lesson` where the wall should be when the next lesson ends;
    its label stands apart from that of `here` (`by_lesson_label_y`)."""

    width: float
    height: float
    table_y: float
    left_x: float
    right_x: float
    plan: str
    clay: str
    rows: list[Level]
    here: Level | None
    by_lesson: Level | None
    by_lesson_label_y: float


def building_picture(
    silhouette: Sequence[Sample],
    row_tops_mm: Sequence[float],
    laid: int,
    by_lesson_mm: float | None = None,
) -> BuildingPicture:
    """Of rows whose tops rise from the table, the first `laid` of which stand."""
    scale = one_scale([silhouette], tallest=TALLEST, widest=WIDEST)
    place = Place(scale, WIDTH / 2, HEAD + silhouette[-1][0] * scale)
    levels = [_level(silhouette, top, place) for top in row_tops_mm]
    here = levels[laid] if laid < len(levels) else None
    lesson = None if by_lesson_mm is None else _level(silhouette, by_lesson_mm, place)
    return BuildingPicture(
        width=WIDTH,
        height=place.y + BELOW,
        table_y=place.y,
        left_x=SIDE,
        right_x=WIDTH - SIDE,
        plan=closed_path(silhouette, place),
        clay=closed_path(up_to(silhouette, row_tops_mm[laid - 1]), place) if laid else "",
        rows=levels[: max(laid - 1, 0)],
        here=here,
        by_lesson=lesson,
        by_lesson_label_y=_apart(lesson, here),
    )


def _level(silhouette: Sequence[Sample], height_mm: float, place: Place) -> Level:
    sample = level_at(silhouette, height_mm)
    (left, y), (right, _) = place.left(sample), place.right(sample)
    return Level(y, left, right, height_mm)


def _apart(lesson: Level | None, here: Level | None) -> float:
    """Above the other label where the two would touch."""
    if lesson is None:
        return 0.0
    return lesson.y if here is None or here.y - lesson.y >= APART else here.y - APART
