"""A learned working allowance is taken over into its brief."""

from datetime import date
from decimal import Decimal
from enum import StrEnum

from django.utils.translation import gettext as _

from planning.models import Brief
from planning.services.briefs import take_allowance
from studio.clay.allowance import LEAST_PIECES
from studio.clay.selectors.allowance import allowance_of
from studio.errors import Conflict, Refused
from studio.people.models import User


class Figure(StrEnum):
    """Which figure of the learned ones: the middle, or the one that does for three pots in four."""

    MIDDLE = "middle"
    UPPER = "upper"


class Over(StrEnum):
    """Learned from this brief's pots, or from all that were built of its clay body."""

    BRIEF = "brief"
    BODY = "body"


def take_learned_allowance(
    *, brief: Brief, over: Over, figure: Figure, seen_pct: int, by: User, today: date
) -> Brief:
    """Set the brief's allowance to what was learned. `seen_pct` is what the person was shown: a
    figure that has changed since is a `Conflict`.
    """
    of_brief, of_body = allowance_of(brief, today=today)
    learned = of_brief.learned if over == Over.BRIEF else of_body.learned
    if learned is None:
        message = _("Fewer than %(least)s pots are known, which is too few to learn from.")
        raise Refused(message % {"least": LEAST_PIECES})
    pct = learned.takes if figure == Figure.MIDDLE else learned.takes_upper
    if pct != seen_pct:
        raise Conflict(_("More clay has come back meanwhile, and the figure changed. Look again."))
    low, high = learned.quartiles
    return take_allowance(
        brief=brief,
        by=by,
        pct=Decimal(pct),
        range_pct=(Decimal(low), Decimal(high)) if learned.has_spread else None,
        pieces=learned.pieces,
    )
