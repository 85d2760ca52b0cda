"""What changes with a kiln in the kiln room: programs at first, coming firings later."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Q
from django.utils.translation import ngettext

from studio.errors import Refused
from studio.kilns.models import Slot
from studio.kilns.models.slot import CHANGED
from studio.people.models import Studio, User
from studio.people.services.checking import locked_studio
from studio.room.models import Kiln
from studio.room.services import add_kiln, edit_kiln, retire_kiln
from studio.room.services.checking import require_staff
from studio.room.services.kilns import locked_kilns

from .programs import ensure_programs
from .slots import set_times


def set_up_kiln(*, studio: Studio, by: User, kiln: Mapping[str, Any]) -> Kiln:
    """A kiln; with the first one come the programs that a studio starts with."""
    with transaction.atomic():
        made = add_kiln(studio=studio, by=by, kiln=kiln)
        ensure_programs(studio=studio, by=by)
    return made


def change_kiln(*, kiln: Kiln, by: User, values: Mapping[str, Any], at: datetime) -> Kiln:
    """Other measures or hours. Firings to come keep their start; when they can be unloaded is
    computed anew, and where one doesn't fit any more the kiln room says so.
    """
    with transaction.atomic():
        changed = edit_kiln(kiln=kiln, by=by, values=values)
        coming = list(
            Slot.objects.open().filter(kiln=changed, starts_at__gte=at).select_related("program")
        )
        for slot in coming:
            slot.kiln = changed
            set_times(slot)
            slot.changed(at)
        Slot.objects.bulk_update(coming, ["ends_at", "unload_at", *CHANGED])
    return changed


def put_kiln_away(*, kiln: Kiln, by: User, at: datetime) -> Kiln:
    """No longer fired. Refused while firings of it are to come or not yet unloaded."""
    require_staff(by, kiln.studio)
    with transaction.atomic():
        # The studio before its kilns, as wherever a kiln is changed.
        locked_studio(kiln.studio)
        locked_kilns(kiln.studio)
        unloaded_later = Slot.objects.standing().filter(kiln=kiln, unloaded_at__isnull=True)
        coming = unloaded_later.filter(Q(unload_at__gt=at) | Q(lit_at__isnull=False))
        if howmany := coming.count():
            message = ngettext(
                "One firing of this kiln is to come or under way. Cancel or move it first.",
                "%(howmany)s firings of this kiln are to come or under way. Cancel or move them "
                "first.",
                howmany,
            )
            raise Refused(message % {"howmany": howmany})
        return retire_kiln(kiln=kiln, by=by)
