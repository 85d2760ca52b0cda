"""A pot on the scale: finished and wet, to learn what pots take; or drying, unwrapped."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Problem, Refused
from studio.people.audit import Change, record, record_all
from studio.people.models import User
from studio.units.scales import Metric, Units
from studio.ware.drying import RESOLVES, resolves
from studio.ware.models import GreenwareCheck, Pot, Stage, WeighedAs, Weighing
from studio.ware.models.weighing import LEAST_G, LEAST_STEP_G, MOST_G, MOST_STEP_G
from studio.web.shown import NBSP, mass_text, mass_unit_text, number_text

from .locking import locked_pot, locked_pots, refuse_lost, require_staff

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
        return _no_weight_of_a_pot(pot.studio)
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


def weigh_drying(
    *, pot: Pot, grams: float, step_g: float | None, by: User, at: datetime
) -> Weighing:
    """A pot that dries, unwrapped, on a scale that shows steps of `step_g`. Two of these a day
    apart say whether it is air dry; a scale that can't tell is refused before it misleads.
    """
    require_staff(by)
    with transaction.atomic():
        held = locked_pot(pot, by)
        refuse_lost([held])
        if problems := list(_why_not_drying(held, grams, step_g)):
            raise Refused.all_of(problems)
        made = Weighing.objects.create(
            pot=held, weighed_as=WeighedAs.DRYING, grams=grams, step_g=step_g, at=at, by=by
        )
        record(
            studio=held.studio,
            by=by,
            action="drying pot weighed",
            subject=held,
            after={"grams": grams, "step_g": step_g},
        )
    return made


def _why_not_drying(pot: Pot, grams: float, step_g: float | None) -> Iterator[Problem]:
    words: dict[str, object] = {"code": pot.code, "stage": pot.get_stage_display()}
    if pot.stage not in {Stage.LEATHER_HARD, Stage.BONE_DRY}:
        message = _("%(code)s is %(stage)s; a pot is weighed between leather-hard and the bisque.")
        yield Problem(message % words)
    elif pot.covered_since is not None:
        message = _("%(code)s is wrapped. Let it stand open for a day, then weigh it.")
        yield Problem(message % words)
    elif not GreenwareCheck.objects.standing().filter(pot=pot).exists():
        yield Problem(_("%(code)s has no greenware check; that one comes first.") % words)
    if not LEAST_G <= grams <= MOST_G:
        yield Problem(_no_weight_of_a_pot(pot.studio), "grams")
    elif step_g is None or not LEAST_STEP_G <= step_g <= MOST_STEP_G:
        message = _("Say in which steps the scale shows its weight, such as 1 g or 5 g.")
        yield Problem(message, "step_g")
    elif not resolves(step_g, grams):
        message = _(
            "A scale in steps of %(step)s can't tell for a pot of %(mass)s: it has to show a "
            "thousandth of it, %(fine)s or finer. Go by hand and eye, and candle it."
        )
        words = {
            "step": _fine_text(step_g),
            "mass": mass_text(grams, pot.studio),
            "fine": _fine_text(RESOLVES * grams),
        }
        yield Problem(message % words, "step_g")


def _no_weight_of_a_pot(units: Units) -> str:
    least, most = (mass_text(each, units) for each in (LEAST_G, MOST_G))
    return _("Type a weight between %(least)s and %(most)s.") % {"least": least, "most": most}


def _fine_text(grams: float) -> str:
    """Grams, with a tenth where the figure has one below ten."""
    shown = round(grams, 1) if grams < 10 else round(grams)  # noqa: PLR2004 -- a figure more
    whole = int(shown) if shown == int(shown) else shown
    return number_text(whole) + NBSP + mass_unit_text(Metric())
