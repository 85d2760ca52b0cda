"""Witness cones of a firing, as somebody read them. They decide, not what was computed."""

from datetime import datetime
from math import isfinite
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Conflict, Refused
from studio.kilns.cones import cones
from studio.kilns.models import ConeKind, Slot, WitnessReading
from studio.people.audit import record
from studio.people.models import User
from studio.room.services.checking import line_of, require_staff

from .loads import locked_slot

MOST_READINGS = 40
"""Of one firing: three cones on each of a dozen shelves."""


def read_witness(
    *,
    slot: Slot,
    by: User,
    at: datetime,
    cone: str,
    bent: float,
    kind: str = ConeKind.SELF_SUPPORTING,
    place: str = "",
) -> WitnessReading:
    """How one cone stands, from 0 upright to 1 down; a figure for the same cone at the same place
    takes the place of the one before.
    """
    require_staff(by, slot.studio)
    place = line_of(place, "place", 60)
    if kind not in ConeKind.values:
        raise Refused(_("Choose the kind of cone from the list."), field="kind")
    if cone not in cones(kind):
        raise Refused(
            _("The chart has no such cone of this kind. Choose one of its."), field="cone"
        )
    if not (isfinite(bent) and 0 <= bent <= 1):
        message = _("A cone is bent between 0, upright, and 1, down.")
        raise Refused(message, field="bent")
    with transaction.atomic():
        kept = locked_slot(slot)
        if kept.lit_at is None:
            raise Conflict(_("This kiln isn't lit. Say first that it is."))
        same = WitnessReading.objects.filter(slot=kept, cone=cone, kind=kind, place=place).first()
        if same is None and kept.witness_readings.count() >= MOST_READINGS:
            message = _("A firing has at most %(most)s cones. Take one out first.")
            raise Refused(message % {"most": MOST_READINGS})
        reading = same or WitnessReading(slot=kept, cone=cone, kind=kind, place=place)
        before = {"bent": same.bent} if same else {}
        reading.bent, reading.at, reading.by = bent, at, by
        reading.save()
        said = {"cone": cone, "kind": kind, "place": place, "bent": bent}
        record(
            studio=kept.studio,
            by=by,
            action="witness cone read",
            subject=kept,
            before=before,
            after=said,
        )
    return reading


def take_out_witness(*, slot: Slot, reading: UUID, by: User) -> None:
    """It was a mistake; the line in the audit stays. Nothing where it is out already."""
    require_staff(by, slot.studio)
    with transaction.atomic():
        kept = locked_slot(slot)
        found = WitnessReading.objects.filter(slot=kept, pk=reading).first()
        if found is None:
            return
        before = {"cone": found.cone, "place": found.place, "bent": found.bent}
        found.delete()
        record(
            studio=kept.studio, by=by, action="witness cone taken out", subject=kept, before=before
        )
