"""Which pots may go into which firing, and what the others wait for."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Literal
from uuid import UUID

from django.utils.translation import gettext as _

from studio.people.models import Studio
from studio.room.cones import common_range
from studio.ware.models import DrynessCheck, GlazeCheck, GreenwareCheck, Pot, Stage
from studio.ware.stages import BEFORE_BISQUE

from .drying import drying_pots
from .pots import alive_pots

Firing = Literal["bisque", "glaze"]

# The newest last; of the same moment the one after which a pot still waits.
DRYNESS_ORDER = ("at", "-air_dry", "pk")
GLAZE_ORDER = ("at", "-foot_clean", "-thickness_fits", "pk")


@dataclass(frozen=True)
class ReadyPot:
    """A pot that may be loaded; its sizes are those of `greenware`, measured before the bisque.

    `cones`: the range at which all its glazes ripen, for a glaze firing; None for a bisque.
    `dry_on`: it dries still, and is likely air dry on that day; until it is found so it may not.
    """

    pot: Pot
    greenware: GreenwareCheck
    cones: tuple[str, str] | None = None
    dry_on: date | None = None


def ready_for_bisque(studio: Studio) -> list[ReadyPot]:
    """Bone dry, greenware checked, and found air dry by the newest check after that.

    Air dry is not dry through: every load is candled all the same. Three queries.
    """
    pots = list(alive_pots(studio).filter(stage=Stage.BONE_DRY))
    return _ready(pots, "bisque")


def ready_or_soon_for_bisque(studio: Studio, *, now: datetime, before: date) -> list[ReadyPot]:
    """Those that are ready; then those that dry under a standing check and are likely air dry
    before a day, by how long such pots take here; found damp on one day, not before the next. At
    most five queries.
    """
    pots = list(alive_pots(studio).filter(stage__in=BEFORE_BISQUE))
    checks = _Checks(pots, "bisque")
    found = _ready_by(checks, pots)
    drying = [pot for pot in pots if pot.pk in checks.greenware and checks.reason(pot)]
    if not drying:
        return found
    for each in drying_pots(drying, studio, now=now):
        dry_on = each.since + timedelta(days=each.expected.due_days)
        damp_at = checks.damp_at(each.pot)
        if damp_at is not None:
            dry_on = max(dry_on, damp_at.astimezone(studio.zone).date() + timedelta(days=1))
        if dry_on < before:
            found.append(ReadyPot(each.pot, checks.greenware[each.pot.pk], dry_on=dry_on))
    return found


def ready_for_glaze(studio: Studio) -> list[ReadyPot]:
    """Glazed, and its newest glaze check passed. Four queries."""
    pots = list(alive_pots(studio).filter(stage=Stage.GLAZED))
    return _ready(pots, "glaze")


def not_ready_reasons(pots: Sequence[Pot], firing: Firing) -> dict[UUID, str]:
    """By pot: in a sentence what stands against this firing. A pot that is ready isn't in it."""
    checks = _Checks(pots, firing)
    found = {pot.pk: checks.reason(pot) for pot in pots}
    return {pk: reason for pk, reason in found.items() if reason}


def _ready(pots: Sequence[Pot], firing: Firing) -> list[ReadyPot]:
    return _ready_by(_Checks(pots, firing), pots)


def _ready_by(checks: "_Checks", pots: Sequence[Pot]) -> list[ReadyPot]:
    return [
        ReadyPot(pot, checks.greenware[pot.pk], checks.cones(pot))
        for pot in pots
        if not checks.reason(pot)
    ]


class _Checks:
    """The checks of some pots, read together."""

    def __init__(self, pots: Sequence[Pot], firing: Firing) -> None:
        ids = [pot.pk for pot in pots]
        self._firing = firing
        self.greenware = {
            check.pot_id: check for check in GreenwareCheck.objects.standing().filter(pot__in=ids)
        }
        # The newest of each pot comes last and stays.
        self._dryness: dict[UUID, DrynessCheck] = {}
        self._glaze: dict[UUID, GlazeCheck] = {}
        if firing == "bisque":
            rows = DrynessCheck.objects.filter(pot__in=ids).order_by(*DRYNESS_ORDER)
            self._dryness = {check.pot_id: check for check in rows}
        else:
            glazed = GlazeCheck.objects.filter(pot__in=ids).order_by(*GLAZE_ORDER)
            self._glaze = {check.pot_id: check for check in glazed.prefetch_related("glazes")}

    def cones(self, pot: Pot) -> tuple[str, str] | None:
        check = self._glaze.get(pot.pk)
        if check is None:
            return None
        return common_range([(each.cone_from, each.cone_to) for each in check.glazes.all()])

    def reason(self, pot: Pot) -> str:
        words = {"code": pot.code, "stage": pot.get_stage_display()}
        asked = Stage.BONE_DRY if self._firing == "bisque" else Stage.GLAZED
        if pot.lost:
            words["lost"] = pot.get_lost_display()
            return _("%(code)s is %(lost)s.") % words
        if pot.stage != asked:
            words["asked"] = str(asked.label)
            return _("%(code)s is %(stage)s, not %(asked)s.") % words
        if pot.pk not in self.greenware:
            return _("%(code)s has no greenware check: measure it first.") % words
        if self._firing == "bisque":
            return self._not_dry(pot) % words
        return self._not_glazed(pot) % words

    def damp_at(self, pot: Pot) -> datetime | None:
        """When it was found damp by the newest check since its greenware check."""
        newest = self._dryness.get(pot.pk)
        if newest is None or newest.air_dry or newest.at < self.greenware[pot.pk].at:
            return None
        return newest.at

    def _not_dry(self, pot: Pot) -> str:
        newest = self._dryness.get(pot.pk)
        if newest is None or newest.at < self.greenware[pot.pk].at:
            return _("%(code)s has no dryness check since its greenware check.")
        if not newest.air_dry:
            return _("%(code)s was not air dry when it was checked last.")
        return ""

    def _not_glazed(self, pot: Pot) -> str:
        newest = self._glaze.get(pot.pk)
        if newest is None:
            return _("%(code)s has no glaze check.")
        if not newest.foot_clean:
            return _("%(code)s had glaze on its foot when it was checked: wipe it, check it again.")
        if not newest.thickness_fits:
            return _("%(code)s had its glaze too thick or too thin when it was checked last.")
        return ""
