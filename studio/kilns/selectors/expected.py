"""When a pot is expected out of the kiln, in a sentence for whoever made it."""

from datetime import datetime

from django.db.models import FilteredRelation, Q
from django.utils.translation import gettext as _

from studio.kilns.models import Placement, Slot
from studio.ware.models import Pot
from studio.ware.models.pot import PotQuerySet

from .slots import short_when_text, window_text


def with_loads(pots: PotQuerySet) -> PotQuerySet:
    """Pots with the load that each stands in read along, for `expected_out`; no further query."""
    # One at most: the constraint `placement_in_one_open_load`.
    placed = FilteredRelation("placements", condition=Q(placements__done=False))
    slot = "open_placement__load__slot"
    return pots.annotate(open_placement=placed).select_related(
        f"{slot}__studio", f"{slot}__program"
    )


def expected_out(pot: Pot, at: datetime) -> str:
    """Of a pot that `with_loads` read. Empty for one that is placed nowhere: when it fires is not
    known then.
    """
    placed: Placement | None = getattr(pot, "open_placement", None)
    return _sentence(placed.load.slot, at) if placed is not None else ""


def _sentence(slot: Slot, at: datetime) -> str:
    zone = slot.studio.zone
    first, last = slot.unload_window
    words = {
        "firing": slot.program.get_firing_display(),
        "start": short_when_text(slot.starts_at, zone),
        "window": window_text(first, last, zone),
    }
    if slot.lit_at is None:
        if slot.starts_at < at:
            message = _(
                "Its %(firing)s firing was planned for %(start)s and hasn't begun. When it comes "
                "out is not known yet."
            )
        else:
            message = _(
                "Its %(firing)s firing begins on %(start)s. It is expected out on %(window)s."
            )
    elif slot.is_cut_short:
        message = _(
            "The kiln went off early, so your pot may need another firing; it can be fired again. "
            "The kiln is expected to be cool on %(window)s; then your teacher looks at it."
        )
    elif last < at:
        message = _("It waits in the kiln. It was expected out on %(window)s.")
    else:
        message = _("It is in the kiln. It is expected out on %(window)s.")
    return message % words
