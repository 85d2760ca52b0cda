"""What the services of the room share."""

from django.core.exceptions import PermissionDenied
from django.utils.translation import gettext as _

from studio.errors import Refused
from studio.people.models import Studio, User
from studio.room.cones import NAMES


def require_staff(by: User, studio: Studio) -> None:
    """Heads, teachers and technicians of the studio keep what the room has."""
    if not by.is_staff or by.studio_id != studio.pk:
        raise PermissionDenied


def check_cone(cone: str, *, field: str) -> None:
    """The cone is one of the table's."""
    if cone not in NAMES:
        message = _("“%(cone)s” is not in the cone table. Type one such as 06, 5.5 or 6.")
        raise Refused(message % {"cone": cone}, field=field)
