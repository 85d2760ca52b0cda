"""A pot on the scale: finished and wet, to learn what clay pots take."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Problem, Refused
from studio.people.audit import Change, record_all
from studio.people.models import User
from studio.ware.models import Pot, Stage, WeighedAs, Weighing
from studio.ware.models.weighing import LEAST_G, MOST_G
from studio.web.shown import mass_text

from .locking import locked_pots, require_staff

MOST_AT_ONCE = 60
# Beyond these parts of its plan's clay a weight is rather a slip of the unit, or a board that was
# weighed along (common practice, no source).
_LEAST_SHARE, _MOST_SHARE = 0.4, 2.5


@dataclass(frozen=True)
class Weighed:
    """A pot and what the scale said, without the board."""

    pot: Pot
    grams: float


def weigh_built(*, rows: Sequence[Weighed], by: User, at: datetime) -> list[Weighing]:
    """Finished pots, still wet: all of them or none. A pot that was weighed before counts by its
    newest weight.

    Raises `Refused` with a sentence at each row that can't be: fields are `rows.0.grams`.
    """
    require_staff(by)
    if not 0 < len(rows) <= MOST_AT_ONCE:
        message = _("Weigh at least one pot, at most %(most)s at once.") % {"most": MOST_AT_ONCE}
        raise Refused(message, field="rows")
    with transaction.atomic():
        held = {pot.pk: pot for pot in locked_pots([row.pot for row in rows], by)}
        problems = [
            Problem(sentence, f"rows.{n}.grams")
            for n, row in enumerate(rows)
            if (sentence := _why_not(held[row.pot.pk], row.pot.plan.pot_wet_g, row.grams))
        ]
        if problems:
            raise Refused.all_of(problems)
        made = Weighing.objects.bulk_create(
            Weighing(
                pot=held[row.pot.pk], weighed_as=WeighedAs.BUILT, grams=row.grams, at=at, by=by
            )
            for row in rows
        )
        changes: list[Change] = [(each.pot, {}, {"grams": each.grams}) for each in made]
        record_all(studio=made[0].pot.studio, by=by, action="finished pot weighed", changes=changes)
    return made


def _why_not(pot: Pot, planned_g: float | None, grams: float) -> str:
    words = {"code": pot.code, "stage": pot.get_stage_display(), "lost": pot.get_lost_display()}
    if pot.lost:
        return _("%(code)s is %(lost)s.") % words
    if pot.stage != Stage.WET:
        message = _("%(code)s is %(stage)s and has lost water since; only a wet pot is weighed.")
        return message % words
    # A comparison with what is no number is false, so that goes the same way.
    if not LEAST_G <= grams <= MOST_G:
        least, most = (mass_text(each, pot.studio) for each in (LEAST_G, MOST_G))
        return _("Type a weight between %(least)s and %(most)s.") % {"least": least, "most": most}
    if planned_g and not _LEAST_SHARE * planned_g <= grams <= _MOST_SHARE * planned_g:
        words |= {
            "planned": mass_text(planned_g, pot.studio),
            "weighed": mass_text(grams, pot.studio),
        }
        message = _(
            "The plan of %(code)s makes a pot of about %(planned)s, and this is %(weighed)s. Weigh "
            "it without its board, and check the unit."
        )
        return message % words
    return ""
