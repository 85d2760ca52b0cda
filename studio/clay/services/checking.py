"""What the services of clay check alike."""

from django.utils.translation import gettext as _

from studio.errors import Refused
from studio.people.names import tidy

MOST_REASON = 400


def checked_reason(text: str) -> str:
    """Why something was written off or reversed, in one line that is there and fits."""
    why = tidy(text)
    if not why:
        raise Refused(_("Write what happened, so that others can follow it."), field="reason")
    if len(why) > MOST_REASON:
        message = _("This is too long. Shorten it to %(most)s characters.")
        raise Refused(message % {"most": MOST_REASON}, field="reason")
    return why
