"""How a wall is to be laid: what a student, a brief and a room choose. All figures that stand
here as defaults are common practice, no source."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from planning.geometry.checks import HAND_MM

from .sentences import RowsRefused, Trouble

SCARF_PER_COIL = 1.5
"""Both ends of a coil are cut slanting, over one and a half times its thickness."""

SOFT_WALL_MM = 120.0
"""About so much fresh wall (80 to 150 mm) stands before the lower part must stiffen."""

MOST_ROWS_PER_BLEND = 6
MOST_ROWS = 300
"""More rows than a class lays in a year: the coil was given in another unit."""


@dataclass(frozen=True)
class Lesson:
    """A meeting date and what is laid on it: a length of wall (mm, along the slant, which is the
    height where the wall is upright) or a number of rows, one of the two."""

    on: date
    rise_mm: float | None = None
    rows: int | None = None


@dataclass(frozen=True)
class Choices:
    """Everything that a row list needs besides the form.

    `longest_coil_mm` is what the table allows, None for no limit. A row is worked alone where a
    flat hand `hand_mm` wide and half as thick no longer fits into the opening. `lessons` are the
    dates that the rows are laid on, in order; none for a plan without dates.
    """

    coil_mm: float
    wet_density_g_per_cm3: float
    rows_per_blend: int = 2
    hand_mm: float = HAND_MM
    longest_coil_mm: float | None = None
    scarf_per_coil: float = SCARF_PER_COIL
    soft_wall_mm: float = SOFT_WALL_MM
    lessons: tuple[Lesson, ...] = ()


def refuse_unsound(choices: Choices) -> None:
    """Raise `RowsRefused` with everything that is wrong with the numbers themselves."""
    found = [*_length_troubles(choices), *_lesson_troubles(choices.lessons)]
    if found:
        raise RowsRefused(found)


def _length_troubles(choices: Choices) -> Iterator[Trouble]:
    yield from _range("coil_mm", choices.coil_mm, 3, 100)
    yield from _range("wet_density_g_per_cm3", choices.wet_density_g_per_cm3, 1, 3)
    yield from _range("rows_per_blend", choices.rows_per_blend, 1, MOST_ROWS_PER_BLEND)
    yield from _range("hand_mm", choices.hand_mm, 0, 300)
    yield from _range("scarf_per_coil", choices.scarf_per_coil, 0, 4)
    yield from _range("soft_wall_mm", choices.soft_wall_mm, 20, 1000)
    if choices.longest_coil_mm is not None:
        yield from _range("longest_coil_mm", choices.longest_coil_mm, 100, 10_000)


def _lesson_troubles(lessons: tuple[Lesson, ...]) -> Iterator[Trouble]:
    for i, lesson in enumerate(lessons):
        if i and lesson.on <= lessons[i - 1].on:
            yield Trouble("dates_fall", path=f"lessons.{i}.on")
        if (lesson.rise_mm is None) == (lesson.rows is None):
            yield Trouble("one_pace", path=f"lessons.{i}")
        elif lesson.rise_mm is not None:
            yield from _range(f"lessons.{i}.rise_mm", lesson.rise_mm, 1, 2000)
        else:
            yield from _range(f"lessons.{i}.rows", lesson.rows or 0, 1, MOST_ROWS)


def _range(path: str, value: float, least: float, most: float) -> Iterator[Trouble]:
    if not least <= value <= most:  # also when it is not a number
        unit = " mm" if path.endswith("_mm") else ""
        values = {"least": f"{least:g}{unit}", "most": f"{most:g}{unit}"}
        yield Trouble("out_of_range", values, path)
