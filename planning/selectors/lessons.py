"""Lessons of building: which of a class's meeting dates a piece's rows are laid over."""

from collections.abc import Sequence
from datetime import date, timedelta

from planning.models import Assignment, Piece
from planning.rows.choices import Lesson
from studio.people.selectors import lessons_of


def building_lessons(piece: Piece, start: date) -> tuple[Lesson, ...]:
    """The lessons from `start` on until the pots are due, each with the wall that the brief lays
    in one. One query."""
    terms = piece.assignment
    return lessons_between(terms, lessons_of(terms.section), start)


def lessons_ahead(piece: Piece, today: date) -> tuple[Lesson, ...]:
    """The lessons of a pot that is still a plan: it begins to be built in the next one."""
    return building_lessons(piece, today + timedelta(days=1))


def lessons_between(terms: Assignment, dates: Sequence[date], start: date) -> tuple[Lesson, ...]:
    """The same for `dates` of the class that are known already."""
    rise = float(terms.rise_per_lesson_mm)
    return tuple(Lesson(on, rise_mm=rise) for on in dates if start <= on <= terms.due_on)
