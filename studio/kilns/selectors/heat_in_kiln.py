"""The cone that a firing reaches in its own kiln, with what was taken over from witness cones."""

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from studio.kilns.heat.reached import in_kiln
from studio.kilns.models import Slot
from studio.web.shown import temperature_text

from .program_view import NEARLY, next_cone
from .programs import firing_of


def cone_said(slot: Slot) -> str:
    """To half a cone, and whether it is corrected, by how many firings of this kiln."""
    fired = in_kiln(firing_of(slot.program), slot.kiln.heat_offset_c)
    words = {"cone": fired.cone, "next": next_cone(fired)}
    if fired.cone is None:
        said = _("It stays below the coolest cone of the table.")
    elif not words["next"]:
        said = _("By the table it reaches cone %(cone)s.") % words
    elif fired.cone_position < NEARLY:
        said = _("By the table it reaches cone %(cone)s, and cone %(next)s about half.") % words
    else:
        said = _("By the table it reaches cone %(cone)s, and cone %(next)s nearly.") % words
    return " ".join(
        each for each in (said, _corrected(slot), _("The witness cone decides.")) if each
    )


def _corrected(slot: Slot) -> str:
    kiln = slot.kiln
    if not kiln.heat_firings:
        return ""
    hotter = ngettext(
        "That is corrected with %(howmany)s firing: this kiln fires %(by)s hotter.",
        "That is corrected with %(howmany)s firings: this kiln fires %(by)s hotter.",
        kiln.heat_firings,
    )
    cooler = ngettext(
        "That is corrected with %(howmany)s firing: this kiln fires %(by)s cooler.",
        "That is corrected with %(howmany)s firings: this kiln fires %(by)s cooler.",
        kiln.heat_firings,
    )
    message = cooler if kiln.heat_offset_c < 0 else hotter
    by = temperature_text(abs(kiln.heat_offset_c))
    return message % {"howmany": kiln.heat_firings, "by": by}
