"""Sentences about pots that pages, shelves and prints share."""

from datetime import date

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from studio.web.shown import day_text

from .models import Lost, Pot, Stage

# What the button for a step says.
STEPS: dict[str, Promise | str] = {
    Stage.WET: gettext_lazy("It is wet again"),
    Stage.LEATHER_HARD: gettext_lazy("It is leather-hard"),
    Stage.BONE_DRY: gettext_lazy("It is bone dry"),
    Stage.BISQUE_FIRED: gettext_lazy("It is bisque fired"),
    Stage.GLAZED: gettext_lazy("It is glazed"),
    Stage.GLAZE_FIRED: gettext_lazy("It is glaze fired"),
    Stage.ON_DISPLAY: gettext_lazy("It is on display"),
    Stage.COLLECTED: gettext_lazy("It was collected"),
}


def standing_words(pot: Pot, today: date) -> str:
    """Stage, place and cover in a few words; place is loaded. "wet, Cart 2, wrapped today"."""
    where = pot.place.name if pot.place is not None else ""
    if pot.lost == Lost.MISSING and where:
        return _("missing, last seen: %(place)s") % {"place": where}
    if pot.lost:
        return str(pot.get_lost_display())
    words = [str(pot.get_stage_display()), where]
    if pot.covered_since is not None:
        when = day_text(pot.covered_since, today)
        # Translators: %(when)s is a day such as "Thursday", "yesterday" or "12 March".
        words.append(_("wrapped since %(when)s") % {"when": when})
    return ", ".join(word for word in words if word)


def pots_in_words(count: int) -> str:
    """ "1 pot", "14 pots"."""
    return ngettext("%(n)d pot", "%(n)d pots", count) % {"n": count}
