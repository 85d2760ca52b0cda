"""Build checks: measured, judged, kept; a wrong one is struck out."""

from collections.abc import Sequence
from dataclasses import asdict
from datetime import datetime
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from planning.bench.checking import Tolerance
from planning.bench.judging import Judged, judged
from planning.bench.measured import Measured
from planning.bench.sentences import MeasuredRefused
from planning.plans.wording import said_problems
from studio.bench.models import BuildCheck, CarryOn
from studio.bench.selectors.rows import going
from studio.errors import Conflict, Refused
from studio.people.audit import record
from studio.people.models import User
from studio.room.services.checking import line_of
from studio.ware.models import Pot
from studio.ware.services.locking import locked_pot

from .building import COMPUTATION, pot_being_built, refuse_other_rows

MOST_PLACES = 20


def check_build(*, pot: Pot, measured: Sequence[Measured], by: User, at: datetime) -> BuildCheck:
    """Judge a pot under way and keep the answer. Raises `Refused` at `measured.0.front_mm` and the
    like. Sizes are compared at wet size."""
    if not measured:
        raise Refused(_("Measure one place at least."), field="measured")
    if len(measured) > MOST_PLACES:
        message = _("Give at most %(most)s places.") % {"most": MOST_PLACES}
        raise Refused(message, field="measured")
    way = going(pot)
    allowed = Tolerance(float(way.terms.tolerance_mm), float(way.terms.tolerance_pct))
    try:
        found = judged(way.made, way.drying_pct, measured, allowed, way.onward)
    except MeasuredRefused as refused:
        raise Refused.all_of(said_problems(refused.problems, pot.studio)) from None
    check = BuildCheck(
        pot=pot, places=[_kept(each) for each in found], computation=COMPUTATION, at=at, by=by
    )
    with transaction.atomic():
        held = pot_being_built(pot, by)
        refuse_other_rows(held, way)
        check.save(force_insert=True)
    return check


def strike_out(*, check: BuildCheck, reason: str, by: User, at: datetime) -> BuildCheck:
    """A check that was wrong counts no longer, by who made it or by staff; it stays to be read."""
    reason = line_of(reason, "reason", 400)
    if not reason:
        raise Refused(_("Write what was wrong with it."), field="reason")
    with transaction.atomic():
        held = locked_pot(check.pot, by)
        kept = BuildCheck.objects.get(pk=check.pk)
        if not (by.is_staff or kept.by_id == by.pk):
            raise PermissionDenied
        if kept.struck_out_at is not None:
            raise Conflict(_("This check is struck out already."))
        if CarryOn.objects.asked().filter(check_made=kept).exists():
            message = _(
                "The question to carry on rests on this check. Take the question back first."
            )
            raise Conflict(message)
        kept.struck_out_at, kept.struck_out_by, kept.reason = at, by, reason
        kept.save(update_fields=["struck_out_at", "struck_out_by", "reason"])
        record(
            studio=held.studio,
            by=by,
            action="build check struck out",
            subject=kept,
            after={"pot": str(held.pk), "reason": reason},
        )
    return kept


def _kept(each: Judged) -> dict[str, Any]:
    answer = each.check
    return {
        "measured": asdict(each.measured),
        "planned": each.planned,
        "width_mm": each.width_mm,
        "deviation_mm": answer.deviation_mm,
        "action": answer.action,
        "darts": None if answer.darts is None else asdict(answer.darts),
        "code": answer.said.code,
        "values": dict(answer.said.values),
    }
