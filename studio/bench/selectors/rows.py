"""The row list of a pot under way.

The rows of the plan are worked out anew each time from the inputs that it keeps: those never
change, it takes milliseconds, and blends and rests follow when a lesson is moved, as they do on
the plan's page and on paper. The rows of somebody who carries on are those that the teacher agreed
to, as they were kept; only the dates are laid over them anew.
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from functools import cached_property
from typing import Any

from planning.bench.judging import Onward, onward
from planning.geometry.form import Form
from planning.models.brief import Terms
from planning.pictures.outline import Sample
from planning.plans.answer import cautions_to_say
from planning.plans.building import choices_of, kept_timing, made_of, rows_of
from planning.plans.inputs import kept_inputs
from planning.plans.wording import refused_in
from planning.rows.carrying_on import Standing, rows_from_here
from planning.rows.choices import Choices, Lesson
from planning.rows.lessons import Reached, Rest, Timing
from planning.rows.own_weight import OwnWeight, RowCaution, own_weight
from planning.rows.rows import Row, RowList
from planning.selectors.lessons import building_lessons
from studio.bench.models import CarryOn
from studio.ware.models import Pot


@dataclass(frozen=True)
class Going:
    """How a pot is built: `made` is the plan's form, `rows` the list from the base to the rim as it
    holds now. `agreed` is the newest consent to carry on, if there is one."""

    made: Form
    terms: Terms
    density: float
    drying_pct: float
    planned: RowList
    rows: tuple[Row, ...]
    coil_mm: float
    rests: tuple[Rest, ...]
    reached: tuple[Reached, ...]
    agreed: CarryOn | None = None

    @cached_property
    def onward(self) -> Onward | None:
        """The outline that was agreed on."""
        return None if self.agreed is None else onward(self.made, Standing(**self.agreed.standing))

    def choices(self, lessons: Sequence[Lesson] = ()) -> Choices:
        """For the rows from here; the coil is the one that is being rolled."""
        return replace(choices_of(self.terms, self.density, lessons), coil_mm=self.coil_mm)

    def from_here(self, standing: Standing, laid: int, lessons: Sequence[Lesson] = ()) -> RowList:
        """New rows on so many rows of the list, or `RowsRefused`."""
        return rows_from_here(self.made, self.choices(lessons), standing, self.rows[:laid])

    @cached_property
    def weight(self) -> OwnWeight:
        """The soft wall by its own weight: of the rows that are laid by now."""
        if self.agreed is None or self.onward is None:
            return own_weight(self.made, self.planned, self.density)
        standing = Standing(**self.agreed.standing)
        listed = self.from_here(standing, self.agreed.after_row)
        return own_weight(self.onward.made, listed, self.density)

    @cached_property
    def cautions(self) -> list[RowCaution]:
        """What a student reads of it."""
        listed = replace(self.planned, rests=self.rests)
        return cautions_to_say(self.weight, listed)


def going(pot: Pot, lessons: Sequence[Lesson] | None = None) -> Going:
    """Two queries, one where `lessons` are known. The pot's plan, its piece's assignment and clay
    body, class and studio are loaded. Raises `Refused` for a plan from before rows were computed
    that has no form or no rows by today's rules."""
    pot.plan.piece = pot.piece
    terms = pot.piece.assignment
    begun = pot.begun_at.astimezone(pot.studio.zone).date()
    dates = building_lessons(pot.piece, begun) if lessons is None else tuple(lessons)
    body = kept_inputs(pot.plan.inputs, terms).body
    with refused_in(pot.studio):
        made = made_of(pot.plan)
        planned = rows_of(pot.plan, dates, made)
    rows, coil_mm, newest = planned.rows, planned.coil_mm, None
    for agreed in CarryOn.objects.agreed().filter(pot=pot):
        rows = (*rows[: agreed.after_row], *kept_rows(agreed.figures))
        coil_mm, newest = agreed.figures["coil_mm"], agreed
    times = Timing(planned.reached, planned.rests)
    if newest is not None:
        since = newest.asked_at.astimezone(pot.studio.zone).date()
        times = carried_timing(newest, terms, [each for each in dates if each.on >= since])
    return Going(
        made=made,
        terms=terms,
        density=body.wet_density_g_per_cm3,
        drying_pct=body.drying_shrinkage_pct,
        planned=planned,
        rows=rows,
        coil_mm=coil_mm,
        rests=times.rests,
        reached=times.reached,
        agreed=newest,
    )


def carried_timing(agreed: CarryOn, terms: Terms, lessons: Sequence[Lesson]) -> Timing:
    """The rows that were agreed to, laid over lessons."""
    return kept_timing(terms, agreed.figures["rows"], lessons, agreed.after_row)


def kept_rows(figures: dict[str, Any]) -> tuple[Row, ...]:
    """Rows as they were agreed to."""
    return tuple(Row(**row | {"seams": tuple(row["seams"])}) for row in figures["rows"])


def carry_on_figures(listed: RowList, outline: Sequence[Sample]) -> dict[str, Any]:
    """What is kept of new rows, under the names of the compute API, and the `outline` that they
    follow, (height, left, right) from the measured edge to the rim."""
    return {
        "coil_mm": listed.coil_mm,
        "wall_mm": listed.wall_mm,
        "rows": [asdict(row) for row in listed.rows],
        "outline": [list(sample) for sample in outline],
    }
