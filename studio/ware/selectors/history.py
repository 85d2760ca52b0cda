"""What happened to one pot, in order."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from studio.ware.models import (
    DrynessCheck,
    Flaw,
    GlazeCheck,
    GreenwareCheck,
    Loss,
    Pot,
    StageEntry,
)
from studio.web.shown import length_text

from .readiness import DRYNESS_ORDER, GLAZE_ORDER


@dataclass(frozen=True)
class Event:
    """One line: when, who, what, and what they wrote."""

    at: datetime
    who: str
    words: str
    note: str = ""


@dataclass(frozen=True)
class History:
    """The rows of a pot, each list in order of time."""

    pot: Pot
    stages: list[StageEntry]
    greenware: list[GreenwareCheck]
    dryness: list[DrynessCheck]
    glaze: list[GlazeCheck]
    flaws: list[Flaw]
    losses: list[Loss]

    @property
    def standing_check(self) -> GreenwareCheck | None:
        """The greenware check that holds."""
        return next((each for each in self.greenware if each.withdrawn_at is None), None)

    @property
    def events(self) -> list[Event]:
        """All of it, the newest first."""
        lines = [
            *(_stage(each) for each in self.stages),
            *(_greenware(each, self.pot) for each in self.greenware),
            *(_dryness(each) for each in self.dryness),
            *(_glaze(each) for each in self.glaze),
            *(Event(each.at, each.by.name, each.what, each.mended) for each in self.flaws),
            *(_loss(each) for each in self.losses),
            *(
                Event(each.found_at, "", _("found again"))
                for each in self.losses
                if each.found_at is not None
            ),
        ]
        # Turned round after sorting: of the same moment the last of these lines comes first.
        return sorted(lines, key=lambda event: event.at)[::-1]


def history_of(pot: Pot) -> History:
    """Seven queries. The pot's studio is loaded, for its units."""
    return History(
        pot=pot,
        stages=list(StageEntry.objects.filter(pot=pot).select_related("by")),
        greenware=list(GreenwareCheck.objects.filter(pot=pot).select_related("by")),
        dryness=list(
            DrynessCheck.objects.filter(pot=pot).select_related("by").order_by(*DRYNESS_ORDER)
        ),
        glaze=list(
            GlazeCheck.objects.filter(pot=pot)
            .select_related("by")
            .prefetch_related("glazes")
            .order_by(*GLAZE_ORDER)
        ),
        flaws=list(Flaw.objects.filter(pot=pot).select_related("by")),
        losses=list(Loss.objects.filter(pot=pot).select_related("by")),
    )


def _stage(entry: StageEntry) -> Event:
    stage = entry.get_stage_display()
    words = _("begun, %(stage)s") if not entry.before else "%(stage)s"
    return Event(entry.at, entry.by.name, words % {"stage": stage}, entry.reason)


def _greenware(check: GreenwareCheck, pot: Pot) -> Event:
    sizes = {
        "height": length_text(check.height_mm, pot.studio),
        "front": length_text(check.front_mm, pot.studio),
        "depth": length_text(check.depth_mm, pot.studio),
        "thickest": length_text(check.thickest_mm, pot.studio),
    }
    words = _(
        "greenware check: %(height)s tall, %(front)s wide, %(depth)s deep, %(thickest)s at the "
        "thickest place"
    )
    if check.withdrawn_at is not None:
        words = _("greenware check, taken back later: %(height)s tall, %(front)s wide")
    return Event(check.at, check.by.name, words % sizes, check.cracks)


def _dryness(check: DrynessCheck) -> Event:
    words = _("found air dry; candled all the same") if check.air_dry else _("not air dry yet")
    return Event(check.at, check.by.name, words, check.note)


def _glaze(check: GlazeCheck) -> Event:
    names = {"glazes": ", ".join(glaze.name for glaze in check.glazes.all())}
    words = _("glaze checked: %(glazes)s") % names
    if not check.foot_clean:
        words = _("glaze checked: %(glazes)s; foot not clean") % names
    elif not check.thickness_fits:
        words = _("glaze checked: %(glazes)s; too thick or too thin") % names
    return Event(check.at, check.by.name, words, check.note)


def _loss(loss: Loss) -> Event:
    words = _("%(lost)s; cause: %(cause)s")
    said = {"lost": loss.get_kind_display(), "cause": loss.get_cause_display()}
    return Event(loss.at, loss.by.name, words % said, loss.note)
