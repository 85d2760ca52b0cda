"""What a program takes in a kiln, in energy and money, as a sentence with its range."""

from collections.abc import Iterable, Sequence
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from studio.kilns.heat.body import usual_load, wall_of
from studio.kilns.heat.energy import Energy, energy
from studio.kilns.heat.program import Segment
from studio.kilns.models import Slot
from studio.kilns.wording import caution_sentence
from studio.room.models import Kiln
from studio.web.shown import NBSP, number_text, percent_text

from .loads import shelf_of
from .programs import heat_segments

LATEST = 20
"""Metered firings that count."""
PLACES_FROM = 10
"""Money from here on is said without its hundredths."""


def metered(kilns: Iterable[Kiln]) -> dict[UUID, list[float]]:
    """By kiln: what its latest metered firings took by what was computed for them. One query."""
    rows = Slot.objects.filter(kiln__in=list(kilns), metered_kwh__isnull=False)
    found: dict[UUID, list[float]] = {}
    for slot in rows.select_related("kiln", "program").order_by("-off_at"):
        known = found.setdefault(slot.kiln_id, [])
        if len(known) == LATEST:
            continue
        segments = heat_segments(slot.program.segments)
        computed = energy_in(slot.kiln, slot.program.start_c, segments, ())
        if computed is not None and slot.metered_kwh:
            known.append(slot.metered_kwh / computed.likely_kwh)
    return found


def energy_in(
    kiln: Kiln, start_c: float, segments: Sequence[Segment], known: Sequence[float]
) -> Energy | None:
    """With a full load; None where the kiln's power or lining isn't known."""
    if kiln.power_kw is None or kiln.lining_mm is None:
        return None
    shelf, shelves = shelf_of(kiln), kiln.shelves + kiln.half_shelves / 2
    return energy(
        start_c,
        segments,
        wall=wall_of(shelf, kiln.usable_height_mm, kiln.lining_mm),
        load=usual_load(shelf, kiln.usable_height_mm, shelves, kiln.shelf_thickness_mm),
        power_kw=kiln.power_kw,
        metered_over_computed=known,
    )


def energy_said(kiln: Kiln, found: Energy) -> str:
    """About how much, from what to what, and how sure that is."""
    likely, low, high = (
        number_text(round(each)) for each in (found.likely_kwh, found.low_kwh, found.high_kwh)
    )
    words = {"likely": f"{likely}{NBSP}kWh", "low": low, "high": f"{high}{NBSP}kWh"}
    said = [_("About %(likely)s with a full load, between %(low)s and %(high)s.") % words]
    if kiln.price_per_kwh is not None:
        cost = {
            name: _money(each * kiln.price_per_kwh, kiln.currency)
            for name, each in (
                ("likely", found.likely_kwh),
                ("low", found.low_kwh),
                ("high", found.high_kwh),
            )
        }
        said.append(_("That costs about %(likely)s, between %(low)s and %(high)s.") % cost)
    off = percent_text(found.uncertainty_pct)
    if found.firings:
        message = ngettext(
            "Corrected with %(howmany)s metered firing, so within about %(off)s.",
            "Corrected with %(howmany)s metered firings, so within about %(off)s.",
            found.firings,
        )
        said.append(message % {"howmany": found.firings, "off": off})
    else:
        message = _(
            "No firing of this kiln was metered, so it may be %(off)s off; write a meter's reading "
            "into a firing's log."
        )
        said.append(message % {"off": off})
    said += [caution_sentence(each) for each in found.cautions]
    return " ".join(said)


def _money(amount: float, currency: str) -> str:
    number = number_text(round(amount)) if amount >= PLACES_FROM else f"{amount:.2f}"
    return f"{number}{NBSP}{currency}" if currency else number
