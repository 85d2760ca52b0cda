"""What was traced, in the pixels of its photo: lines to draw over it and handles to drag."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planning.geometry.profile import smooth_curve
from planning.models import PlanPhoto
from planning.pictures.outline import polyline
from planning.tracing.plane import Plane

Floats = NDArray[np.float64]

_LEAST: Final = 2
_STATIONS: Final = 160
_UNPLACED_MM: Final = 60.0


@dataclass(frozen=True)
class Handle:
    """Where a height line meets a side of the pot; `sign` is -1 on the left, `field` its input."""

    x: float
    y: float
    sign: int
    height_mm: float
    field: str
    placed: bool


@dataclass(frozen=True)
class Overlay:
    """Pixels of the stored photo, `width` × `height`. `to_photo` and `to_paper` are homographies
    row by row, between mm (right of the axis, above the table) and pixels before the lens bends
    them by `bend`."""

    width: int
    height: int
    paths: list[str] = field(default_factory=list)
    levels: list[str] = field(default_factory=list)
    axis: str = ""
    handles: list[Handle] = field(default_factory=list)
    to_photo: str = ""
    to_paper: str = ""
    bend: float = 0.0

    @property
    def dot(self) -> float:
        """The radius of a handle: about five pixels of a phone's screen."""
        return self.width / 75


def overlay_of(photo: PlanPhoto) -> Overlay | None:
    """None where nothing is traced or placed yet."""
    plane = _plane(photo)
    if plane is None:
        return None
    if photo.is_base:
        points = np.array((photo.answer or {}).get("points", []), dtype=np.float64)
        outline = [_path(plane.to_photo(points)) + "Z"] if len(points) else []
        return Overlay(*plane.size, paths=outline)
    if not photo.lines:
        return None
    heights = [float(height or 0) for height, *_halves in photo.lines]
    ends = np.array(((0.0, heights[0]), (0.0, heights[-1])))
    return Overlay(
        *plane.size,
        paths=[path for sign in _signs(photo) if (path := _side(photo, plane, sign))],
        levels=_levels(photo, plane, heights),
        axis=_path(plane.to_photo(ends)),
        handles=[
            _handle(photo, plane, sign, place)
            for place in range(len(heights))
            for sign in _signs(photo)
        ],
        to_photo=_numbers(plane.homography),
        to_paper=_numbers(np.asarray(np.linalg.inv(plane.homography), dtype=np.float64)),
        bend=plane.bend,
    )


def _plane(photo: PlanPhoto) -> Plane | None:
    answer = photo.answer or {}
    homography = answer.get("homography") or answer.get("points_homography")
    if homography is None or not photo.image.width or not photo.image.height:
        return None
    bend = float(answer.get("bend", 0.0)) if answer.get("homography") else 0.0
    return Plane(np.array(homography), (photo.image.width, photo.image.height), bend)


def _signs(photo: PlanPhoto) -> tuple[int, ...]:
    """On which sides of the axis there are handles."""
    return {"left": (-1,), "right": (1,)}.get(photo.sides, (-1, 1))


def _half(photo: PlanPhoto, sign: int, place: int) -> float | None:
    return photo.lines[place][1 if sign < 0 else 2]


def _side(photo: PlanPhoto, plane: Plane, sign: int) -> str:
    """The curve through the half-widths of one side, as the plan draws it."""
    known = [
        (float(height or 0), half)
        for place, (height, *_halves) in enumerate(photo.lines)
        if (half := _half(photo, sign, place)) is not None
    ]
    if len(known) < _LEAST:
        return ""
    curve = smooth_curve(np.array(known))
    heights, halves = curve.at(curve.stations(_STATIONS))
    return _path(plane.to_photo(np.column_stack((sign * halves, heights))))


def _levels(photo: PlanPhoto, plane: Plane, heights: Sequence[float]) -> list[str]:
    """Each height line, from side to side."""
    left, right = (max(_reach(photo, sign), 0.0) for sign in (-1, 1))
    return [
        _path(plane.to_photo(np.array(((-left, height), (right, height))))) for height in heights
    ]


def _reach(photo: PlanPhoto, sign: int) -> float:
    """How far the level lines go: a little further than the pot."""
    if sign not in _signs(photo):
        return 0.0
    halves = [_half(photo, sign, place) for place in range(len(photo.lines))]
    known = [half for half in halves if half is not None]
    return 1.05 * max([*known, *([_unplaced(photo, sign)] if len(known) < len(halves) else [])])


def _unplaced(photo: PlanPhoto, sign: int) -> float:
    """Where a handle waits for the finger: at the end of the line that was tapped."""
    return (photo.left_mm if sign < 0 else photo.right_mm) or _UNPLACED_MM


def _handle(photo: PlanPhoto, plane: Plane, sign: int, place: int) -> Handle:
    half = _half(photo, sign, place)
    height = float(photo.lines[place][0] or 0)
    shown = _unplaced(photo, sign) if half is None else half
    x, y = plane.to_photo(np.array((sign * shown, height)))
    side = "left" if sign < 0 else "right"
    return Handle(float(x), float(y), sign, height, f"id_{side}_{place}", half is not None)


def _path(places: Floats) -> str:
    return polyline((x, y) for x, y in places.tolist())


def _numbers(homography: Floats) -> str:
    return " ".join(repr(float(each)) for each in homography.ravel())
