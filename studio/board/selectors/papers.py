"""Plans on paper as they are built: of a pot under way its own plan, laid over the lessons since it
was begun, with the rows that its builder carries on with."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from django.utils.translation import gettext as _

from planning.models import Piece, PlanVersion
from planning.plans.papers import PlanPaper, plan_paper
from planning.selectors.lessons import lessons_between
from planning.selectors.papers import plans_to_print
from studio.bench.models import CarryOn
from studio.bench.selectors.rows import Going, going
from studio.errors import Refused
from studio.people.models import User
from studio.people.selectors import lessons_by_class
from studio.ware.models import Pot
from studio.ware.selectors import pots_of
from studio.web.printing import footer_text

from .pots import building_from

Absolute = Callable[[str], str]


@dataclass(frozen=True)
class ToPrint:
    """A piece with the plan that is printed, None where there is none; `dates` of its class."""

    piece: Piece
    plan: PlanVersion | None
    pot: Pot | None
    carries_on: bool
    dates: Sequence[date]
    today: date

    def paper(self, absolute: Absolute) -> PlanPaper:
        """Computed; two queries where a pot is under way. Raises `Refused` without a plan, and
        where a draft can't be computed."""
        plan = self.plan
        if plan is None:
            raise Refused(
                _("There is no plan to print yet. It can be printed as soon as it is sent.")
            )
        studio = plan.piece.studio
        start = building_from(self.pot, studio.zone, self.today)
        lessons = lessons_between(plan.piece.assignment, self.dates, start)
        ready = plan_paper(
            plan,
            lessons=lessons,
            address=absolute(self.piece.get_absolute_url()),
            footer=footer_text(studio.name, self.today),
        )
        if self.pot is None or not self.carries_on:
            return ready
        self.pot.piece, self.pot.plan = plan.piece, plan
        return _carrying_on(ready, going(self.pot, lessons))


def _carrying_on(ready: PlanPaper, way: Going) -> PlanPaper:
    agreed, onward = way.agreed, way.onward
    if agreed is None or onward is None:  # withdrawn a moment ago
        return ready
    listed = replace(
        ready.listed, rows=way.rows, coil_mm=way.coil_mm, rests=way.rests, reached=way.reached
    )
    return replace(ready, listed=listed, onward=onward.made, from_row=agreed.after_row)


def plans_on_paper(pieces: Sequence[Piece], person: User, today: date) -> Iterator[ToPrint]:
    """One for each piece, in their order. Four queries."""
    plans, pots = plans_to_print(pieces, person), pots_of(pieces)
    standing = {pk: pot for pk, pot in pots.items() if not pot.lost}
    agreed = CarryOn.objects.agreed().filter(pot__in=standing.values())
    onward = set(agreed.order_by().values_list("pot", flat=True))
    dates = lessons_by_class({piece.assignment.section_id for piece in pieces})
    for piece in pieces:
        pot, plan = standing.get(piece.pk), plans.get(piece.pk)
        if pot is not None:
            # The pot keeps to the plan that it was begun with.
            pot.plan.piece = plan.piece if plan is not None else piece
            plan = pot.plan
        yield ToPrint(
            piece=piece,
            plan=plan,
            pot=pot,
            carries_on=pot is not None and pot.pk in onward,
            dates=dates[piece.assignment.section_id],
            today=today,
        )
