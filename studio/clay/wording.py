"""What a lot is called in lists, on screen and on paper."""

from django.utils.translation import gettext as _

from studio.clay.models import Lot, LotKind
from studio.web.shown import day_text, mass_text


def lot_name(lot: Lot) -> str:
    """Its body, and its mark or the day that it came. Body and studio are loaded."""
    mark = lot.label or day_text(lot.came_on)
    if not lot.label and lot.kind == LotKind.RECLAIMED:
        mark = _("reclaimed %(day)s") % {"day": mark}
    if lot.mixed:
        # Translators: clay of several bodies; %(lot)s is the one that fires lowest, and its mark.
        return _("mixed, for practice only (%(lot)s)") % {"lot": f"{lot.body}, {mark}"}
    return f"{lot.body}, {mark}"


def lot_line(lot: Lot) -> str:
    """With what is left of it, and what its bags weigh."""
    words = {"lot": lot_name(lot), "left": mass_text(lot.balance_g, lot.studio)}
    if lot.bag_g:
        words["bag"] = mass_text(lot.bag_g, lot.studio)
        return _("%(lot)s: %(left)s, in bags of %(bag)s") % words
    return _("%(lot)s: %(left)s") % words
