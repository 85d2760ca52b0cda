"""A plan as it is built: its form and its rows, from what is kept of it."""

from collections.abc import Mapping, Sequence
from typing import Any

from planning.geometry.form import Form, form
from planning.models import PlanVersion
from planning.models.brief import Terms
from planning.rows.choices import Choices, Lesson
from planning.rows.lessons import Reached, Timing, timing
from planning.rows.rows import RowList, row_list

from .inputs import kept_inputs


def made_of(plan: PlanVersion) -> Form:
    """The form of a plan that was sent (or of a draft that can be computed: `FormRefused` where it
    can't). The piece's assignment with its clay body is loaded."""
    return form(kept_inputs(plan.inputs, plan.piece.assignment))


def rows_of(plan: PlanVersion, lessons: Sequence[Lesson] = (), made: Form | None = None) -> RowList:
    """The rows of a plan, laid over `lessons`; `made` where the form is made already."""
    terms = plan.piece.assignment
    density = kept_inputs(plan.inputs, terms).body.wet_density_g_per_cm3
    return row_list(made or made_of(plan), choices_of(terms, density, lessons))


def choices_of(terms: Terms, density: float, lessons: Sequence[Lesson] = ()) -> Choices:
    """What a brief says of the rows; `density` is the wet clay's, g/cm³."""
    longest = terms.longest_coil_mm
    return Choices(
        coil_mm=float(terms.coil_mm),
        wet_density_g_per_cm3=density,
        rows_per_blend=terms.rows_per_blend,
        longest_coil_mm=None if longest is None else float(longest),
        soft_wall_mm=float(terms.soft_wall_mm),
        lessons=tuple(lessons),
    )


def kept_timing(
    terms: Terms, rows: Sequence[Mapping[str, Any]], lessons: Sequence[Lesson], laid: int = 0
) -> Timing:
    """Rows as they are kept, laid over `lessons`, numbered on from those `laid` before. No form is
    made, so that a class's shelf can show it."""
    slants = [row["slant_mm"] for row in rows]
    heights = [row["height_mm"] for row in rows]
    return timing(lessons, float(terms.soft_wall_mm), slants, heights, laid)


def reached_of(plan: PlanVersion, lessons: Sequence[Lesson]) -> tuple[Reached, ...]:
    """How far each lesson brings a plan that was sent, from the rows that it keeps. Nothing where
    it was sent before rows were kept."""
    rows = (plan.figures or {}).get("rows", [])
    return kept_timing(plan.piece.assignment, rows, lessons).reached
