"""What the services of the room share, and those of the apps above it."""

from typing import Any

from django.core.exceptions import PermissionDenied
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from studio.errors import Refused
from studio.people.models import Studio, User
from studio.people.names import tidy
from studio.room.cones import NAMES


def require_staff(by: User, studio: Studio) -> None:
    """Heads, teachers and technicians of the studio keep what the room has."""
    if not by.is_staff or by.studio_id != studio.pk:
        raise PermissionDenied


def check_name_free(row: Any, rows: QuerySet[Any], message: str) -> None:
    """No other of these rows has the row's name, whatever its capitals. The studio is held."""
    if rows.filter(name__iexact=row.name).exclude(pk=row.pk).exists():
        raise Refused(message, field="name")


def line_of(text: str, field: str, most: int) -> str:
    """One tidy line of at most so many characters; refused at `field` if it is longer."""
    line = tidy(text)
    if len(line) > most:
        message = _("This is too long. Shorten it to %(most)s characters.") % {"most": most}
        raise Refused(message, field=field)
    return line


def differences(
    before: dict[str, Any], after: dict[str, Any]
) -> tuple[dict[str, Any], dict[str, Any]]:
    """What an edit changed, as it was and as it is now: for the audit line."""
    changed = [name for name in after if after[name] != before[name]]
    was, now = ({name: each[name] for name in changed} for each in (before, after))
    return was, now


def check_cone(cone: str, *, field: str) -> None:
    """The cone is one of the table's."""
    if cone not in NAMES:
        message = _("“%(cone)s” is not in the cone table. Type one such as 06, 5.5 or 6.")
        raise Refused(message % {"cone": cone}, field=field)
