"""What follows for pots that stand in or on each other when one of them is taken out or pinned."""

from collections.abc import Sequence

from django.db.models import QuerySet
from django.db.models.functions import Coalesce
from django.utils.translation import gettext as _

from studio.errors import Conflict, Problem
from studio.kilns.models import Placement, Slot
from studio.ware.models import Pot


def with_companions(slot: Slot, pots: Sequence[Pot]) -> QuerySet[Placement]:
    """The placements of these pots, and of all that stand in or on the same ones."""
    rows = Placement.objects.filter(load__slot=slot).annotate(carrier=Coalesce("host", "pk"))
    return rows.filter(carrier__in=rows.filter(pot__in=pots).values("carrier"))


def check_guests_go_too(slot: Slot, pots: Sequence[Pot]) -> None:
    """No pot is taken out from under what stands in or on it."""
    guests = Placement.objects.filter(load__slot=slot, host__pot__in=pots).exclude(pot__in=pots)
    message = _(
        "%(code)s stands in or on %(host)s. Take it out too, or let it stand by itself first."
    )
    problems = [
        Problem(message % {"code": each.pot.code, "host": each.host.pot.code}, "pots")
        for each in guests.select_related("pot__piece", "host__pot__piece")
        if each.host is not None
    ]
    if problems:
        raise Conflict.all_of(problems)


def forget_heights(slot: Slot) -> None:
    """A pot that nothing stands in or on any more has no height together with anything."""
    alone = Placement.objects.filter(load__slot=slot, guests__isnull=True)
    alone.filter(together_mm__isnull=False).update(together_mm=None)
