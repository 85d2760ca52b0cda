"""Plan and pot laid over each other: where a pot under way is off its plan, and its darts.

Pure: the standard library only. Millimetres in, drawing units out, y downwards.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import cos, pi, sin

from planning.pictures.levels import closed_path, level_at, open_paths, room_for_words
from planning.pictures.outline import Place, Point, Sample
from planning.pictures.shelf import one_scale

WIDTH = 360.0
TALLEST = 380.0
WIDEST = 216.0
HEAD = 22.0
BELOW = 10.0
SIDE = 66.0  # for the labels, left what is off, right the heights
NOTHING_MM = 0.5  # no ruler shows less


@dataclass(frozen=True)
class MeasuredPlace:
    """A place on the pot: planned and measured width, and what is said of it; `wrong` where
    something is to be done."""

    height_mm: float
    planned_mm: float
    width_mm: float
    wrong: bool = False


@dataclass(frozen=True)
class DartsAt:
    """Darts from the edge at this height down."""

    height_mm: float
    count: int
    width_mm: float
    length_mm: float


@dataclass(frozen=True)
class PlaceMark:
    """A measured level: the pot's edges and the plan's; `off_mm` is pot minus plan."""

    y: float
    pot_left_x: float
    pot_right_x: float
    plan_left_x: float
    plan_right_x: float
    height_mm: float
    off_mm: float
    wrong: bool
    labelled: bool

    @property
    def shows(self) -> bool:
        """Whether a ruler shows that it is off."""
        return abs(self.off_mm) >= NOTHING_MM


@dataclass(frozen=True)
class CheckedPicture:
    """`plan` is the outline to become, `pot` what stands up to the highest place measured,
    `onward` a new outline from there (""), `darts` the wedges to cut on the side that is seen."""

    width: float
    height: float
    table_y: float
    axis_x: float
    left_x: float
    right_x: float
    plan: str
    pot: str
    onward: str
    marks: list[PlaceMark]
    darts: list[str]


@dataclass(frozen=True)
class Checked:
    """What the picture is made of. `silhouette` is the outline that the pot was compared with,
    (height, left, right) from the table to the rim."""

    silhouette: Sequence[Sample]
    places: Sequence[MeasuredPlace]
    darts: DartsAt | None = None
    onward: Sequence[Sample] = field(default=())


def checked_picture(checked: Checked) -> CheckedPicture:
    """The picture as large as its box allows. Raises ValueError for an outline of one sample."""
    if len(checked.silhouette) < 2:  # noqa: PLR2004 -- a line needs two ends
        message = "a silhouette has at least two samples"
        raise ValueError(message)
    places = sorted(checked.places, key=lambda each: each.height_mm)
    pot = _pot(checked.silhouette, places)
    drawn = [each for each in (checked.silhouette, pot, checked.onward) if each]
    scale = one_scale(drawn, tallest=TALLEST, widest=WIDEST)
    top = max(sample[0] for each in drawn for sample in each)
    place = Place(scale, WIDTH / 2, HEAD + top * scale)
    return CheckedPicture(
        width=WIDTH,
        height=place.y + BELOW,
        table_y=place.y,
        axis_x=place.x,
        left_x=SIDE,
        right_x=WIDTH - SIDE,
        plan=closed_path(checked.silhouette, place),
        pot=closed_path(pot, place) if len(pot) > 1 else "",
        onward=open_paths(checked.onward, place) if len(checked.onward) > 1 else "",
        marks=_marks(checked.silhouette, places, place),
        darts=_darts(checked.darts, pot, place) if checked.darts and pot else [],
    )


def _pot(silhouette: Sequence[Sample], places: Sequence[MeasuredPlace]) -> list[Sample]:
    """What stands: the outline, wider by what was measured; between two places, and down to the
    table, straight from the one to the other."""
    if not places:
        return []
    known = [(0.0, 0.0), *((each.height_mm, each.width_mm - each.planned_mm) for each in places)]
    top = places[-1].height_mm
    heights = sorted({each[0] for each in silhouette if each[0] < top} | {h for h, _ in known})
    samples = []
    for height in heights:
        _, left, right = level_at(silhouette, height)
        more = _between(known, height) / 2
        samples.append((height, left + more, right + more))
    return samples


def _between(known: Sequence[Point], height: float) -> float:
    """What is known at a height up to the highest, straight between two places."""
    (low, less), (high, more) = next(each for each in pairwise(known) if height <= each[1][0])
    return less + (height - low) / (high - low) * (more - less)


def _marks(
    silhouette: Sequence[Sample], places: Sequence[MeasuredPlace], place: Place
) -> list[PlaceMark]:
    """From the top down; a label that would crowd the one above it is left out."""
    marks: list[PlaceMark] = []
    down = places[::-1]
    room = room_for_words([place.y - each.height_mm * place.scale for each in down])
    for each, labelled in zip(down, room, strict=True):
        plan = level_at(silhouette, each.height_mm)
        more = (each.width_mm - each.planned_mm) / 2
        pot = each.height_mm, plan[1] + more, plan[2] + more
        (pot_left, y), (plan_left, _) = place.left(pot), place.left(plan)
        marks.append(
            PlaceMark(
                y=y,
                pot_left_x=pot_left,
                pot_right_x=place.right(pot)[0],
                plan_left_x=plan_left,
                plan_right_x=place.right(plan)[0],
                height_mm=each.height_mm,
                off_mm=2 * more,
                wrong=each.wrong,
                labelled=labelled,
            )
        )
    return marks


def _darts(darts: DartsAt, pot: Sequence[Sample], place: Place) -> list[str]:
    """Wedges evenly round the pot, those on the near side, as wide as they are seen."""
    turns = [(2 * n + 1) * pi / darts.count for n in range(darts.count)]
    edge, foot = (
        level_at(pot, max(height, 0.0))
        for height in (darts.height_mm, darts.height_mm - darts.length_mm)
    )
    paths = []
    for turn in turns:
        if sin(turn) <= 0.05:  # noqa: PLR2004 -- behind, or seen from its edge
            continue
        half = darts.width_mm / 2 * sin(turn) * place.scale
        (x, y), (tip_x, tip_y) = (_round(each, cos(turn), place) for each in (edge, foot))
        paths.append(f"M{x - half:.1f} {y:.1f}L{tip_x:.1f} {tip_y:.1f}L{x + half:.1f} {y:.1f}")
    return paths


def _round(sample: Sample, across: float, place: Place) -> Point:
    """The point of a level so far across, -1 at its left edge and 1 at its right one."""
    (left, y), (right, _) = place.left(sample), place.right(sample)
    return (left + right) / 2 + across * (right - left) / 2, y
