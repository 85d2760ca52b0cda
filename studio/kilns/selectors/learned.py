"""What a kiln's own logs say: how far its heat work is off, and how fast it cools."""

from collections.abc import Iterable
from statistics import median
from uuid import UUID

from studio.kilns.heat.cooling import Cooling, Reading, fitted_cooling
from studio.kilns.heat.witness import Correction, Witness, correction, offset_c
from studio.kilns.models import LogEntry, Slot, WitnessReading
from studio.room.models import Kiln

from .programs import ROOM_C, firing_of

LATEST = 20
"""Firings that count: elements and sensors age."""


def corrections(kilns: Iterable[Kiln]) -> dict[UUID, Correction]:
    """By kiln: how much hotter it fires than computed, by the witness cones of its latest firings.
    Firings that were cut short don't count; kilns without any aren't in it. One query.
    """
    rows = WitnessReading.objects.filter(slot__kiln__in=list(kilns), slot__off_at__isnull=False)
    rows = rows.select_related("slot__program").order_by("-slot__off_at", "slot")
    by_slot: dict[UUID, list[WitnessReading]] = {}
    for row in rows:
        if not row.slot.is_cut_short:
            by_slot.setdefault(row.slot_id, []).append(row)
    found: dict[UUID, list[float]] = {}
    for read in by_slot.values():
        slot = read[0].slot
        offsets = found.setdefault(slot.kiln_id, [])
        off_c = slot_offset_c(slot, read) if len(offsets) < LATEST else None
        if off_c is not None:
            offsets.append(off_c)
    told = {kiln: correction(offsets) for kiln, offsets in found.items()}
    return {kiln: each for kiln, each in told.items() if each is not None}


def slot_offset_c(slot: Slot, read: Iterable[WitnessReading]) -> float | None:
    """Of one firing; its program is loaded. None where its cones say nothing."""
    by_kind: dict[str, list[Witness]] = {}
    for each in read:
        by_kind.setdefault(each.kind, []).append(Witness(each.cone, each.bent))
    offsets = [offset_c(firing_of(slot.program, kind), cones) for kind, cones in by_kind.items()]
    known = [each for each in offsets if each is not None]
    return median(known) if known else None


def logged_cooling(kiln: Kiln) -> Cooling:
    """The kiln's time constant from what was read after its latest shut-offs; the stated one, with
    no firings, where too little was. Two queries.
    """
    fired = Slot.objects.filter(kiln=kiln, off_at__isnull=False).order_by("-off_at")[:LATEST]
    off = {slot.pk: slot.off_at for slot in fired if slot.off_at}
    curves: dict[UUID, list[Reading]] = {pk: [] for pk in off}
    rows = LogEntry.objects.filter(slot__in=list(off), temp_c__isnull=False)
    for slot, at, temp_c in rows.values_list("slot", "at", "temp_c"):
        since_h = (at - off[slot]).total_seconds() / 3600
        if since_h >= 0 and temp_c is not None:
            curves[slot].append((since_h, temp_c))
    return fitted_cooling(curves.values(), ROOM_C)
