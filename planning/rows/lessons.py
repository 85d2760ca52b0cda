"""Rows laid over meeting dates, and the rests between: at a lesson's end, and where fresh wall
would carry more than it can (common practice, no source)."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from .choices import Lesson
from .sentences import Said

_ROUNDING = 1e-9


@dataclass(frozen=True)
class Reached:
    """By the end of the lesson on this date the wall stands here."""

    on: date
    row: int
    height_mm: float


@dataclass(frozen=True)
class Rest:
    """A stop after a row. After it the edge is scored and slipped."""

    after_row: int
    reason: str
    height_mm: float
    on: date | None = None

    @property
    def said(self) -> Said:
        return Said(self.reason, {"row": str(self.after_row), "height_mm": self.height_mm})


@dataclass(frozen=True)
class Timing:
    """Row numbers, heights and lessons worked out for one row list."""

    reached: tuple[Reached, ...]
    rests: tuple[Rest, ...]


def timing(
    lessons: Sequence[Lesson],
    soft_wall_mm: float,
    slants: Sequence[float],
    heights: Sequence[float],
    laid: int = 0,
) -> Timing:
    """Lay rows whose tops are at `slants` (length of wall from where it begins, mm) and `heights`
    (mm above the table) over the lessons; they are numbered on from the rows `laid` before."""
    reached, rests = [], []
    start, end = 0, len(slants)
    for lesson in lessons:
        if start == end:
            break
        stop = _last_row(lesson, slants, start)
        rests += _stiffening(soft_wall_mm, slants, heights, (start, stop), laid)
        reached.append(Reached(lesson.on, laid + stop, heights[stop - 1]))
        if stop < end:
            rests.append(Rest(laid + stop, "lesson_end", heights[stop - 1], lesson.on))
        start = stop
    rests += _stiffening(soft_wall_mm, slants, heights, (start, end), laid)
    return Timing(tuple(reached), tuple(rests))


def _last_row(lesson: Lesson, slants: Sequence[float], start: int) -> int:
    """How many rows stand after a lesson: at least one more."""
    if lesson.rows is not None:
        return min(start + lesson.rows, len(slants))
    begun = slants[start - 1] if start else 0.0
    return _as_far_as(begun + (lesson.rise_mm or 0.0), slants, start)


def _as_far_as(slant_mm: float, slants: Sequence[float], start: int) -> int:
    stop = start + 1
    while stop < len(slants) and slants[stop] <= slant_mm * (1 + _ROUNDING):
        stop += 1
    return stop


def _stiffening(
    soft_mm: float,
    slants: Sequence[float],
    heights: Sequence[float],
    rows: tuple[int, int],
    laid: int,
) -> list[Rest]:
    """Rests within `rows` (from, to) laid one after the other, none after the last."""
    rests: list[Rest] = []
    place, end = rows
    while place < end:
        begun = slants[place - 1] if place else 0.0
        place = min(_as_far_as(begun + soft_mm, slants, place), end)
        if place < end:
            rests.append(Rest(laid + place, "stiffen", heights[place - 1]))
    return rests
