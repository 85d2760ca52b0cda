"""The sign-off when building ends: sizes measured on the pot, cracks, and a code to be read."""

from collections.abc import Iterator
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Conflict, Problem, Refused
from studio.people.audit import record
from studio.people.models import User
from studio.people.services.checking import check_fields
from studio.room.services.checking import line_of
from studio.ware.models import GreenwareCheck, Pot
from studio.ware.stages import BEFORE_BISQUE
from studio.web.shown import length_text

from .locking import locked_pot, refuse_lost, require_staff

# Farther from its plan than this a size is rather a slip of the ruler or of the unit than a pot;
# common practice, no source. Added parts widen a pot, so more is asked before a wide one.
_LEAST, _MOST_HIGH, _MOST_WIDE = 0.7, 1.3, 1.6
_THICKEST_IN_WALLS = 4.0


class Asked(Refused):
    """Not a no: the same once more with `confirm`, if the ruler really says so."""


def check_greenware(
    *,
    pot: Pot,
    thickest_mm: float,
    height_mm: float,
    front_mm: float,
    depth_mm: float,
    code_legible: bool,
    cracks: str,
    by: User,
    at: datetime,
    confirm: bool = False,
) -> GreenwareCheck:
    """Staff measure the pot with all its added parts; drying starts, and the kiln is packed by
    these sizes. Sizes far from the plan raise `Asked` until they are confirmed.
    """
    require_staff(by)
    check = GreenwareCheck(
        pot=pot,
        thickest_mm=thickest_mm,
        height_mm=height_mm,
        front_mm=front_mm,
        depth_mm=depth_mm,
        code_legible=code_legible,
        cracks=line_of(cracks, "cracks", 400),
        at=at,
        by=by,
    )
    with transaction.atomic():
        held = locked_pot(pot, by)
        refuse_lost([held])
        if held.stage not in BEFORE_BISQUE:
            message = _("%(code)s is %(stage)s; the greenware check belongs before the firing.")
            raise Conflict(message % {"code": held.code, "stage": held.get_stage_display()})
        if before := GreenwareCheck.objects.standing().filter(pot=held).first():
            message = _(
                "%(who)s checked %(code)s already. To measure again, take that check back first."
            )
            raise Conflict(message % {"who": before.by.name, "code": held.code})
        _check_code(held, code_legible=code_legible)
        check_fields(check)
        if not confirm and (odd := list(_odd_sizes(check))):
            raise Asked.all_of(odd)
        check.save(force_insert=True)
        held.said_built_at = None
        held.save(update_fields=["said_built_at"])
        record(
            studio=held.studio,
            by=by,
            action="greenware checked",
            subject=held,
            after=_shown(check),
        )
    return check


def withdraw_greenware(*, pot: Pot, by: User, at: datetime, reason: str) -> GreenwareCheck:
    """The check holds no longer, for instance because building goes on. Only before a firing."""
    require_staff(by)
    reason = line_of(reason, "reason", 400)
    if not reason:
        raise Refused(_("Write why the check is taken back."), field="reason")
    with transaction.atomic():
        held = locked_pot(pot, by)
        refuse_lost([held])
        check = GreenwareCheck.objects.standing().filter(pot=held).first()
        if check is None:
            raise Conflict(_("%(code)s has no greenware check.") % {"code": held.code})
        if held.stage not in BEFORE_BISQUE:
            message = _("%(code)s is %(stage)s; its greenware check stays.")
            raise Conflict(message % {"code": held.code, "stage": held.get_stage_display()})
        check.withdrawn_at = at
        check.save(update_fields=["withdrawn_at"])
        record(
            studio=held.studio,
            by=by,
            action="greenware check taken back",
            subject=held,
            before=_shown(check),
            after={"reason": reason},
        )
    return check


def _check_code(pot: Pot, *, code_legible: bool) -> None:
    if code_legible:
        return
    message = _(
        "Scratch %(code)s into the base again, deep enough to feel, then check it: after the "
        "firing nobody knows whose pot it is."
    )
    raise Refused(message % {"code": pot.code}, field="code_legible")


def _odd_sizes(check: GreenwareCheck) -> Iterator[Problem]:
    """Each size that its plan doesn't explain, as a question at its field."""
    plan = check.pot.plan
    for field, measured, planned, most in (
        ("height_mm", check.height_mm, plan.wet_height_mm, _MOST_HIGH),
        ("front_mm", check.front_mm, plan.wet_front_mm, _MOST_WIDE),
        ("depth_mm", check.depth_mm, plan.wet_depth_mm, _MOST_WIDE),
    ):
        if planned and not _LEAST * planned <= measured <= most * planned:
            message = _(
                "The plan says %(planned)s here, you measured %(measured)s. Measure again; if it "
                "is so, tick below that it is."
            )
            yield _question(check.pot, field, message, planned, measured)
    wall = float(check.pot.piece.assignment.wall_mm)
    if check.thickest_mm > _THICKEST_IN_WALLS * wall:
        message = _(
            "The wall was to be %(planned)s, you measured %(measured)s at the thickest place. So "
            "thick it may burst in the kiln: thin it if it is soft enough. If it stays so, tick "
            "below."
        )
        yield _question(check.pot, "thickest_mm", message, wall, check.thickest_mm)


def _question(pot: Pot, field: str, message: str, planned: float, measured: float) -> Problem:
    units = pot.studio
    words = {"planned": length_text(planned, units), "measured": length_text(measured, units)}
    return Problem(message % words, field)


def _shown(check: GreenwareCheck) -> dict[str, float | str]:
    return {
        "thickest_mm": check.thickest_mm,
        "height_mm": check.height_mm,
        "front_mm": check.front_mm,
        "depth_mm": check.depth_mm,
        "cracks": check.cracks,
    }
