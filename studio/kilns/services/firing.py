"""A firing's way: lit, logged, shut off, unloaded. It is told here; nothing here switches a kiln.

Never opened hot; students never load, unload or open alone; the room is ventilated, locked, and no
class sits in it. The school's rules, local codes and the maker's sheet come first.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import isfinite
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import Piece
from studio.errors import Conflict, Problem, Refused
from studio.kilns.models import Firing, LogEntry, Placement, Slot
from studio.kilns.models.slot import CHANGED
from studio.kilns.selectors.loads import PART_FULL, Contents, contents, share_filled
from studio.kilns.selectors.slots import when_text
from studio.kilns.selectors.waiting import keeps_out
from studio.people.audit import record
from studio.people.models import User
from studio.people.names import tidy
from studio.room.services.checking import line_of, require_staff
from studio.room.services.kilns import locked_kilns
from studio.ware.models import Cause, Lost, Pot, Stage
from studio.ware.services import come_to_stage, lose_pots, note_flaw
from studio.web.shown import number_text, percent_text, temperature_text

from .guests import forget_heights
from .loads import locked_slot

LEAST_C, MOST_C = -30.0, 1500.0
LEAST_KWH, MOST_KWH = 1, 5000
AHEAD = timedelta(minutes=5)
"""Clocks differ by so much."""

OUTCOMES = ("ok", "flaw", "broken", "left_out")


@dataclass(frozen=True)
class Outcome:
    """What became of one pot: `ok`, `flaw` (it goes on; `words` say what), `broken` (the cause of
    either is unknown unless it is said), or `left_out`: it never stood in the kiln and waits as
    before.
    """

    kind: str = "ok"
    words: str = ""
    cause: str = Cause.UNKNOWN


def light(*, slot: Slot, by: User, at: datetime, part_full_reason: str = "") -> Slot:
    """The kiln is lit now, by hand; from here on nothing goes in or out.

    The checks of every pot must still stand. A load that fills little of the kiln takes a line of
    reason, nothing more.
    """
    require_staff(by, slot.studio)
    reason = line_of(part_full_reason, "part_full_reason", 200)
    with transaction.atomic():
        locked_kilns(slot.studio)
        kept = locked_slot(slot)
        _check_unlit(kept)
        load = contents(kept)
        _check_pots_stand(kept, load)
        _check_kilns(kept)
        _check_share(kept, load, reason)
        kept.lit_at, kept.lit_by, kept.part_full_reason = at, by, reason
        kept.changed(at)
        kept.save(update_fields=["lit_at", "lit_by", "part_full_reason", *CHANGED])
        said = {"pots": len(load.placements), "part_full_reason": reason}
        _record(kept, by, "kiln lit", {}, said)
    return kept


def undo_light(*, slot: Slot, by: User, at: datetime) -> Slot:
    """It was a mistake: the kiln is not lit. Only while nothing is logged."""
    require_staff(by, slot.studio)
    with transaction.atomic():
        kept = locked_slot(slot)
        if kept.lit_at is None:
            raise Conflict(_("This kiln isn't lit."))
        if kept.off_at is not None or kept.log.exists() or kept.witness_readings.exists():
            message = _("Something is logged already, so the firing took place and stays.")
            raise Conflict(message)
        before = {"lit_at": kept.lit_at.isoformat()}
        kept.lit_at = kept.lit_by = None
        kept.part_full_reason = ""
        kept.changed(at)
        kept.save(update_fields=["lit_at", "lit_by", "part_full_reason", *CHANGED])
        _record(kept, by, "kiln not lit after all", before, {})
    return kept


def log_entry(
    *,
    slot: Slot,
    by: User,
    at: datetime,
    read_at: datetime | None = None,
    temp_c: float | None = None,
    note: str = "",
) -> LogEntry:
    """What was read at the kiln at a moment between its lighting and its unloading; just now where
    `read_at` is left out.
    """
    require_staff(by, slot.studio)
    read_at = read_at or at
    note = line_of(note, "note", 200)
    if temp_c is None and not note:
        raise Refused(_("Type the temperature, or a remark."), field="temp_c")
    if temp_c is not None and not (isfinite(temp_c) and LEAST_C <= temp_c <= MOST_C):
        message = _("A kiln is between %(least)s and %(most)s. Read it again, in °C.")
        words = {"least": temperature_text(LEAST_C), "most": temperature_text(MOST_C)}
        raise Refused(message % words, field="temp_c")
    with transaction.atomic():
        kept = locked_slot(slot)
        _check_burning(kept)
        if kept.lit_at and read_at < kept.lit_at - AHEAD:
            message = _("The kiln was lit at %(when)s. Choose a time after that.")
            words = {"when": when_text(kept.lit_at, kept.studio.zone)}
            raise Refused(message % words, field="at")
        if read_at > at + AHEAD:
            raise Refused(_("This time is still to come. Choose one that was."), field="at")
        entry = LogEntry.objects.create(slot=kept, at=read_at, temp_c=temp_c, note=note, by=by)
        _record(kept, by, "firing logged", {}, {"temp_c": temp_c, "note": note})
    return entry


def shut_off(*, slot: Slot, at: datetime, by: User, witness_cone: str = "") -> Slot:
    """Somebody stands at the kiln and sees that it is off: it is they who confirm it."""
    require_staff(by, slot.studio)
    cone = line_of(witness_cone, "witness_cone", 40)
    with transaction.atomic():
        kept = locked_slot(slot)
        if kept.off_at is not None and kept.off_by is not None:
            message = _("%(name)s has confirmed already that it is off.")
            raise Conflict(message % {"name": kept.off_by.name})
        _check_burning(kept)
        kept.off_at, kept.off_by, kept.witness_cone = at, by, cone
        kept.changed(at)
        kept.save(update_fields=["off_at", "off_by", "witness_cone", *CHANGED])
        _record(kept, by, "shut-off confirmed", {}, {"witness_cone": cone})
    return kept


def note_meter(*, slot: Slot, kwh: float | None, by: User) -> Slot:
    """What the kiln's meter counted over a firing that is off; None: it was a mistake."""
    require_staff(by, slot.studio)
    if kwh is not None and not (isfinite(kwh) and LEAST_KWH <= kwh <= MOST_KWH):
        message = _("A firing takes between %(least)s and %(most)s kWh. Read the meter again.")
        words = {"least": number_text(LEAST_KWH), "most": number_text(MOST_KWH)}
        raise Refused(message % words, field="kwh")
    with transaction.atomic():
        kept = locked_slot(slot)
        if kept.off_at is None:
            raise Conflict(_("Nobody has confirmed yet that this kiln is off. Confirm that first."))
        before, kept.metered_kwh = kept.metered_kwh, kwh
        if before != kwh:
            kept.save(update_fields=["metered_kwh"])
            _record(kept, by, "meter read", {"kwh": before}, {"kwh": kwh})
    return kept


def undo_shut_off(*, slot: Slot, by: User, at: datetime) -> Slot:
    """It was a mistake: the kiln is still on, or nobody has seen it yet."""
    require_staff(by, slot.studio)
    with transaction.atomic():
        kept = locked_slot(slot)
        if kept.off_at is None or kept.unloaded_at is not None:
            raise Conflict(_("No shut-off stands here that could be taken back."))
        before = {"off_at": kept.off_at.isoformat(), "witness_cone": kept.witness_cone}
        kept.off_at = kept.off_by = None
        kept.witness_cone = ""
        kept.changed(at)
        kept.save(update_fields=["off_at", "off_by", "witness_cone", *CHANGED])
        _record(kept, by, "shut-off taken back", before, {})
    return kept


def unload(
    *,
    slot: Slot,
    results: Mapping[UUID, Outcome],
    by: User,
    at: datetime,
    read_below: bool,
    reached: bool = False,
    witness_cone: str | None = None,
) -> Slot:
    """The load is out: each pot goes on or is broken, by its id.

    `read_below`: somebody read the kiln below its unloading temperature before it was opened. A
    kiln is never opened hot. `reached`: the witness cones say that a firing which was cut short
    reached its heat all the same; without it no pot of such a firing goes on. All of it or nothing.
    """
    require_staff(by, slot.studio)
    with transaction.atomic():
        kept = locked_slot(slot)
        _check_can_unload(kept, read_below)
        load = contents(kept)
        placements = {each.pot_id: each for each in load.placements}
        _check_results(load, results)
        _check_reached(kept, results, reached)
        # Pieces before pots, as wherever pots are lost, each in the order of its keys.
        _hold(load)
        by_kind: dict[str, list[Pot]] = {kind: [] for kind in OUTCOMES}
        for pk, placement in placements.items():
            if not placement.pot.lost:
                by_kind[results[pk].kind].append(placement.pot)
        _lose(by_kind["broken"], results, kept, by, at)
        _go_on([*by_kind["ok"], *by_kind["flaw"]], kept, by, at)
        for pot in by_kind["flaw"]:
            said_of = results[pot.pk]
            note_flaw(pot=pot, what=said_of.words, cause=said_of.cause, by=by, at=at, in_kiln=True)
        rows = Placement.objects.filter(load__slot=kept)
        # What stood in or on one that never was in the kiln was fired all the same.
        rows.filter(host__pot__in=by_kind["left_out"]).update(host=None)
        rows.filter(pot__in=by_kind["left_out"]).delete()
        forget_heights(kept)
        rows.update(done=True)
        kept.unloaded_at, kept.unloaded_by = at, by
        if witness_cone is not None:
            kept.witness_cone = line_of(witness_cone, "witness_cone", 40)
        kept.changed(at)
        kept.save(update_fields=["unloaded_at", "unloaded_by", "witness_cone", *CHANGED])
        said = {kind: [str(pot.pk) for pot in pots] for kind, pots in by_kind.items()}
        _record(kept, by, "kiln unloaded", {}, said)
    return kept


def _check_unlit(slot: Slot) -> None:
    if slot.cancelled_at is not None:
        raise Conflict(_("This firing is cancelled. Bring it back first, or choose another one."))
    if slot.lit_at is not None:
        words = {"when": when_text(slot.lit_at, slot.studio.zone)}
        raise Conflict(_("It is lit already, since %(when)s.") % words)


def _check_pots_stand(slot: Slot, load: Contents) -> None:
    """Every pot may still be fired: its dryness was found, it isn't broken."""
    if not load.placements:
        raise Refused(_("Nothing is in this load yet. Put pots in first."))
    against = keeps_out(slot, load.pots)
    if against:
        hint = _("%(why)s Take it out, or check it again.")
        raise Refused.all_of(Problem(hint % {"why": why}) for why in against.values())


def _check_kilns(slot: Slot) -> None:
    """This kiln is empty, and none is on that never fires together with it."""
    under_way = Slot.objects.standing().filter(studio=slot.studio, lit_at__isnull=False)
    under_way = under_way.exclude(pk=slot.pk).select_related("kiln")
    before = under_way.filter(kiln=slot.kiln, unloaded_at__isnull=True).first()
    if before is not None:
        message = _("The firing of %(when)s isn't unloaded yet. Unload it first.")
        raise Conflict(message % {"when": when_text(before.starts_at, slot.studio.zone)})
    apart = slot.kiln.not_together_with.all()
    other = under_way.filter(kiln__in=apart, off_at__isnull=True).first()
    if other is not None:
        message = _(
            "%(kiln)s never fires together with %(other)s, and nobody has confirmed that "
            "%(other)s is off. See to that first."
        )
        raise Conflict(message % {"kiln": slot.kiln, "other": other.kiln})


def _check_share(slot: Slot, load: Contents, reason: str) -> None:
    share = share_filled(slot.kiln, load)
    if share < PART_FULL and not reason:
        message = _(
            "The load fills about %(percent)s of the kiln's shelves. Write in a line why it fires "
            "part full."
        )
        words = {"percent": percent_text(round(100 * share))}
        raise Refused(message % words, field="part_full_reason")


def _check_burning(slot: Slot) -> None:
    if slot.lit_at is None:
        raise Conflict(_("This kiln isn't lit. Say first that it is."))
    if slot.unloaded_at is not None:
        raise Conflict(_("This kiln is unloaded; its log is closed."))


def _check_can_unload(slot: Slot, read_below: bool) -> None:
    if slot.unloaded_at is not None and slot.unloaded_by is not None:
        message = _("%(name)s has unloaded it already.") % {"name": slot.unloaded_by.name}
        raise Conflict(message)
    if slot.off_at is None:
        message = _("Nobody has confirmed yet that this kiln is off. Confirm that first.")
        raise Conflict(message)
    if not read_below:
        message = _("Never open a hot kiln. Read it, and tick this when it is below %(below)s.")
        words = {"below": temperature_text(slot.kiln.unload_below_c)}
        raise Refused(message % words, field="read_below")


def _check_results(load: Contents, results: Mapping[UUID, Outcome]) -> None:
    problems = [
        Problem(problem, f"results.{each.pot_id}")
        for each in load.placements
        if not each.pot.lost and (problem := _result_problem(each.pot, results.get(each.pot_id)))
    ]
    if set(results) - {each.pot_id for each in load.placements}:
        problems.append(Problem(_("A pot is named that isn't in this load."), "results"))
    if problems:
        raise Refused.all_of(problems)


def _check_reached(slot: Slot, results: Mapping[UUID, Outcome], reached: bool) -> None:
    goes_on = any(each.kind in {"ok", "flaw"} for each in results.values())
    if slot.is_cut_short and goes_on and not reached:
        message = _(
            "It was off before its program's end, which was due %(due)s. If the witness cones say "
            "that it reached its heat, tick this; else say of each pot that it wasn't fired."
        )
        words = {"due": when_text(slot.off_due_at, slot.studio.zone)}
        raise Refused(message % words, field="reached")


def _result_problem(pot: Pot, outcome: Outcome | None) -> str:
    words = {"code": pot.code}
    if outcome is None or outcome.kind not in OUTCOMES:
        return _("Say what became of %(code)s.") % words
    if outcome.kind == "flaw" and not tidy(outcome.words):
        return _("Write what is wrong with %(code)s, such as “crack at the rim”.") % words
    if outcome.cause not in Cause.values:
        return _("Choose the cause for %(code)s from the list.") % words
    return ""


def _hold(load: Contents) -> None:
    pieces = [each.pot.piece_id for each in load.placements]
    list(Piece.objects.select_for_update(of=("self",)).filter(pk__in=pieces).order_by("pk"))
    pots = [each.pot_id for each in load.placements]
    list(Pot.objects.select_for_update(of=("self",)).filter(pk__in=pots).order_by("pk"))


def _go_on(pots: list[Pot], slot: Slot, by: User, at: datetime) -> None:
    if pots:
        bisque = slot.program.firing == Firing.BISQUE
        come_to_stage(
            pots=pots,
            stage=Stage.BISQUE_FIRED if bisque else Stage.GLAZE_FIRED,
            by=by,
            at=at,
            reason=_("Unloaded from %(kiln)s.") % {"kiln": slot.kiln},
            in_kiln=True,
        )


def _lose(
    pots: list[Pot], results: Mapping[UUID, Outcome], slot: Slot, by: User, at: datetime
) -> None:
    for pot in pots:
        outcome = results[pot.pk]
        said = {"kiln": slot.kiln, "words": tidy(outcome.words)}
        found = _("Found broken when %(kiln)s was unloaded. %(words)s") % said
        lose_pots(
            pots=[pot],
            kind=Lost.BROKEN,
            by=by,
            at=at,
            note=found.strip(),
            cause=outcome.cause,
            in_kiln=True,
        )


def _record(
    slot: Slot, by: User, action: str, before: dict[str, Any], after: dict[str, Any]
) -> None:
    record(studio=slot.studio, by=by, action=action, subject=slot, before=before, after=after)
