"""When a class can fire: the coming firings, and how many of its pots are packed already."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count

from studio.kilns.models import Placement, Slot
from studio.people.models import Section


@dataclass(frozen=True)
class FiringDate:
    """A coming firing; `pots` of the class are packed in it."""

    slot: Slot
    pots: int


def firing_dates(section: Section, at: datetime) -> list[FiringDate]:
    """Those that aren't lit yet, the next one first, in two queries. Fit to show to students: what
    it reads holds no other class's pots.
    """
    slots = Slot.objects.open().filter(studio=section.studio_id, starts_at__gte=at)
    own = Placement.objects.filter(pot__piece__assignment__section=section, done=False)
    packed = dict(own.order_by().values_list("load__slot").annotate(pots=Count("pk")))
    rows = slots.select_related("kiln", "program").order_by("starts_at", "pk")
    return [FiringDate(slot, packed.get(slot.pk, 0)) for slot in rows]
