"""What build checks came to, in a sentence for whoever marks."""

from collections import defaultdict
from collections.abc import Collection
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from studio.bench.models import BuildCheck
from studio.units.scales import Units
from studio.web.shown import length_text


def checks_by_pot(pots: Collection[UUID]) -> dict[UUID, list[BuildCheck]]:
    """Those that count, in order of time. One query."""
    found: dict[UUID, list[BuildCheck]] = defaultdict(list)
    for check in BuildCheck.objects.standing().filter(pot__in=pots):
        found[check.pot_id].append(check)
    return found


def checks_in_words(checks: list[BuildCheck], units: Units) -> str:
    """ "3 build checks, at most 6 mm off. In the last one all was within." "" for none."""
    if not checks:
        return ""
    last = checks[-1]
    said = {
        "n": len(checks),
        "most": length_text(max(abs(each.worst_mm) for each in checks), units),
        "last": length_text(abs(last.worst_mm), units),
    }
    words = ngettext(
        "%(n)d build check, at most %(most)s off.",
        "%(n)d build checks, at most %(most)s off.",
        len(checks),
    )
    within = all(each["action"] == "within" for each in last.places)
    ending = _("In the last one all was within.") if within else _("In the last one %(last)s.")
    return f"{words} {ending}" % said
