"""What the services of clay check alike."""

from django.utils.translation import gettext as _

from studio.errors import Refused
from studio.room.services.checking import line_of

MOST_REASON = 400


def checked_reason(text: str) -> str:
    """Why something was written off or reversed, in one line that is there and fits."""
    why = line_of(text, "reason", MOST_REASON)
    if not why:
        raise Refused(_("Write what happened, so that others can follow it."), field="reason")
    return why
