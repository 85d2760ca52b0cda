"""What a kiln's own log taught is planned with from now on: by a click, on record, and undone by
another one.
"""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Conflict
from studio.kilns.selectors.learned import corrections, logged_cooling
from studio.people.audit import record
from studio.people.models import User
from studio.room.models import Kiln
from studio.room.services.checking import require_staff
from studio.room.services.kilns import locked_kiln

from .kilns import change_kiln


def take_over_heat(*, kiln: Kiln, by: User) -> Kiln:
    """The cone of its firings is computed with what its witness cones say."""
    require_staff(by, kiln.studio)
    with transaction.atomic():
        kept = locked_kiln(kiln)
        known = corrections([kept]).get(kept.pk)
        if known is None:
            raise Conflict(_("No witness cones of this kiln say anything yet."))
        _set_heat(kept, round(known.offset_c, 1), known.firings, by)
    return kept


def put_back_heat(*, kiln: Kiln, by: User) -> Kiln:
    """The cone is computed from the program alone again."""
    require_staff(by, kiln.studio)
    with transaction.atomic():
        kept = locked_kiln(kiln)
        _set_heat(kept, 0.0, 0, by)
    return kept


def take_over_cooling(*, kiln: Kiln, by: User, at: datetime) -> Kiln:
    """It is unloaded by the time constant that its own log shows."""
    require_staff(by, kiln.studio)
    with transaction.atomic():
        kept = locked_kiln(kiln)
        known = logged_cooling(kept)
        if not known.firings:
            raise Conflict(_("Too little was read after its shut-offs yet."))
        before = kept.cooling_before_h if kept.cooling_firings else kept.cooling_h
        hours = round(known.time_constant_h, 1)
        changed = change_kiln(kiln=kept, by=by, values={"cooling_h": hours}, at=at)
        changed.cooling_firings, changed.cooling_before_h = known.firings, before
        changed.save(update_fields=["cooling_firings", "cooling_before_h"])
    return changed


def put_back_cooling(*, kiln: Kiln, by: User, at: datetime) -> Kiln:
    """The time constant that stood before; nothing where none was taken over."""
    require_staff(by, kiln.studio)
    with transaction.atomic():
        kept = locked_kiln(kiln)
        if kept.cooling_before_h is None:
            return kept
        return change_kiln(kiln=kept, by=by, values={"cooling_h": kept.cooling_before_h}, at=at)


def _set_heat(kiln: Kiln, offset_c: float, firings: int, by: User) -> None:
    before = {"heat_offset_c": kiln.heat_offset_c, "heat_firings": kiln.heat_firings}
    after = {"heat_offset_c": offset_c, "heat_firings": firings}
    if before == after:
        return
    kiln.heat_offset_c, kiln.heat_firings = offset_c, firings
    kiln.save(update_fields=["heat_offset_c", "heat_firings"])
    action = "learned heat taken over" if firings else "learned heat put back"
    record(studio=kiln.studio, by=by, action=action, subject=kiln, before=before, after=after)
