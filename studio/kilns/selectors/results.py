"""What came of a firing: its cone, what is whole, what has a flaw, what broke and of what."""

from collections import Counter
from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from studio.kilns.models import Placement, Slot
from studio.ware.models import Cause, Flaw, Loss, Lost

from .programs import firing_of


def firing_result(slot: Slot, placements: Sequence[Placement]) -> list[str]:
    """Sentences about a firing that is unloaded, as its pots are known now: a cause that staff set
    later is in them. Two queries; none for another firing.
    """
    if slot.unloaded_at is None:
        return []
    pots = [each.pot_id for each in placements]
    flawed = set(
        Flaw.objects.filter(pot__in=pots, at=slot.unloaded_at).values_list("pot", flat=True)
    )
    # A loss that was noted since is another's; one that was a mistake is none.
    found = Loss.objects.filter(
        pot__in=pots, kind=Lost.BROKEN, at=slot.unloaded_at, found_at__isnull=True
    )
    causes = Counter(found.values_list("cause", flat=True))
    broken = sum(causes.values())
    whole = len(pots) - broken - len(flawed)
    return [_cones(slot), *_counts(whole, len(flawed)), *_losses(broken, causes)]


def _cones(slot: Slot) -> str:
    cone = firing_of(slot.program).cone
    planned = (
        _("By the table the program reaches cone %(cone)s.") % {"cone": cone}
        if cone
        else _("The program stays below the coolest cone of the table.")
    )
    if not slot.witness_cone:
        return _("%(planned)s No witness cone was written down.") % {"planned": planned}
    words = {"planned": planned, "cone": slot.witness_cone}
    return _("%(planned)s The witness cones say: %(cone)s.") % words


def _counts(whole: int, flawed: int) -> list[str]:
    said = ngettext("%(n)s pot came out whole.", "%(n)s pots came out whole.", whole) % {"n": whole}
    if not flawed:
        return [said]
    more = ngettext("%(n)s has a flaw and goes on.", "%(n)s have a flaw and go on.", flawed)
    return [said, more % {"n": flawed}]


def _losses(broken: int, causes: Counter[str]) -> list[str]:
    if not broken:
        return []
    found = [(str(Cause(cause).label), causes[cause]) for cause in Cause.values if causes[cause]]
    if broken == 1:
        return [_("1 broke. Its cause: %(cause)s.") % {"cause": found[0][0]}]
    named = [_("%(cause)s %(n)s") % {"cause": cause, "n": n} for cause, n in found]
    words = {"n": broken, "causes": ", ".join(named)}
    return [_("%(n)s broke. Causes: %(causes)s.") % words]
