"""Which pots may go into a slot, in the order of urgency, and what keeps the others out."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db.models import Max
from django.utils.translation import gettext as _

from studio.kilns.models import Firing, Placement, Program, Slot
from studio.people.models import Section
from studio.room.cones import heat_of
from studio.ware.models import DrynessCheck, GlazeCheck, Pot
from studio.ware.selectors import (
    ReadyPot,
    not_ready_reasons,
    ready_for_bisque,
    ready_for_glaze,
)

from .programs import firing_of
from .slots import when_text


@dataclass(frozen=True)
class Waiting:
    """A pot that may go in. `since` is its newest dryness check, for a glaze its glaze check;
    `late`: its class's project was due before today.
    """

    ready: ReadyPot
    since: datetime
    late: bool

    @property
    def pot(self) -> Pot:
        return self.ready.pot

    @property
    def section(self) -> Section:
        return self.pot.piece.assignment.section


def waiting_for(slot: Slot, today: date) -> list[Waiting]:
    """Pots that may go into the slot and stand in no load: late ones first, then those that wait
    longest. A fixed number of queries.
    """
    standing = Placement.objects.filter(done=False, load__slot__studio=slot.studio_id)
    placed = set(standing.values_list("pot", flat=True))
    cone = cone_of(slot.program)
    ready = [
        each
        for each in ready_pots(slot)
        if each.pot.pk not in placed and not wrong_cone(slot.program, each, cone)
    ]
    since = _since(slot.program, [each.pot.pk for each in ready])
    found = [
        Waiting(each, since[each.pot.pk], each.pot.piece.assignment.due_on < today)
        for each in ready
    ]
    return sorted(found, key=lambda each: (not each.late, each.since, each.pot.code))


def by_class(waiting: Iterable[Waiting]) -> list[tuple[Section, list[Waiting]]]:
    """The same by class; the class whose first pot is most urgent comes first."""
    found: dict[UUID, tuple[Section, list[Waiting]]] = {}
    for each in waiting:
        found.setdefault(each.section.pk, (each.section, []))[1].append(each)
    return list(found.values())


def ready_pots(slot: Slot) -> list[ReadyPot]:
    """Those of the studio whose checks stand for this kind of firing."""
    ready = ready_for_bisque if slot.program.firing == Firing.BISQUE else ready_for_glaze
    return ready(slot.studio)


def cone_of(program: Program) -> str | None:
    """The cone that the program reaches by the table."""
    return firing_of(program).cone


def wrong_cone(program: Program, ready: ReadyPot, cone: str | None) -> str:
    """Why the program isn't for the glazes of this pot; nothing where it is, or for a bisque."""
    if program.firing == Firing.BISQUE:
        return ""
    words = {"code": ready.pot.code, "program": program, "cone": cone}
    if ready.cones is None:
        return _("The glazes on %(code)s don't ripen at one cone.") % words
    if cone is None:
        return _("%(program)s reaches no cone of the table, so no glaze ripens in it.") % words
    low, high = ready.cones
    if heat_of(low) <= heat_of(cone) <= heat_of(high):
        return ""
    message = _(
        "The glaze on %(code)s is for cone %(low)s to %(high)s; this program reaches cone %(cone)s."
    )
    return message % (words | {"low": low, "high": high})


def keeps_out(slot: Slot, pots: Sequence[Pot]) -> dict[UUID, str]:
    """By pot: in a sentence what keeps it out of the slot's firing. Others aren't in it."""
    firing = "bisque" if slot.program.firing == Firing.BISQUE else "glaze"
    found = not_ready_reasons(pots, firing)  # type: ignore[arg-type]
    if slot.program.firing == Firing.GLAZE:
        cone = cone_of(slot.program)
        wanted = {pot.pk for pot in pots}
        for ready in ready_pots(slot):
            if ready.pot.pk in wanted and (why := wrong_cone(slot.program, ready, cone)):
                found[ready.pot.pk] = why
    return found


def elsewhere(slot: Slot, pots: Sequence[Pot]) -> dict[UUID, str]:
    """By pot: that it stands in an open load already, this one or another."""
    zone = slot.studio.zone
    rows = Placement.objects.filter(done=False, pot__in=pots).select_related("load__slot__kiln")
    codes = {pot.pk: pot.code for pot in pots}
    found = {}
    for row in rows:
        at = row.load.slot
        words = {"code": codes[row.pot_id], "kiln": at.kiln, "when": when_text(at.starts_at, zone)}
        here = _("%(code)s is in this load already.")
        there = _("%(code)s is in the load of %(kiln)s, %(when)s. Take it out there first.")
        found[row.pot_id] = (here if at.pk == slot.pk else there) % words
    return found


def _since(program: Program, pots: list[UUID]) -> dict[UUID, datetime]:
    checks = DrynessCheck if program.firing == Firing.BISQUE else GlazeCheck
    rows = checks._default_manager.filter(pot__in=pots).order_by().values_list("pot")
    return dict(rows.annotate(newest=Max("at")))
