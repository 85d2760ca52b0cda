"""The secret addresses of the kiln calendar: one for the studio, one for each class."""

import secrets
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from studio.kilns.models import CalendarAddress
from studio.people.access import require_class
from studio.people.audit import record
from studio.people.models import Section, Studio, User
from studio.people.services.checking import locked_studio
from studio.people.tokens import digest_of
from studio.room.services.checking import require_staff


def make_calendar_address(
    *, studio: Studio, by: User, at: datetime, section: Section | None = None
) -> tuple[CalendarAddress, str]:
    """A new address and its secret, which is shown once and never stored. An older one of the same
    calendar ends with it. A class's is made by whoever teaches it.
    """
    _require(studio, section, by)
    secret = secrets.token_urlsafe(32)
    with transaction.atomic():
        # Two who make one at once follow each other; the second one's holds.
        locked_studio(studio)
        kept, new = CalendarAddress.objects.update_or_create(
            studio=studio,
            section=section,
            defaults={"digest": digest_of(secret), "made_at": at, "made_by": by},
        )
        action = "calendar address made" if new else "calendar address made anew"
        record(studio=studio, by=by, action=action, subject=kept, after=_told(kept))
    return kept, secret


def end_calendar_address(*, address: CalendarAddress, by: User) -> None:
    """Nothing is found at it from now on. A second tap does nothing."""
    _require(address.studio, address.section, by)
    with transaction.atomic():
        locked_studio(address.studio)
        kept = CalendarAddress.objects.filter(pk=address.pk).first()
        if kept is not None:
            record(
                studio=address.studio,
                by=by,
                action="calendar address ended",
                subject=kept,
                before=_told(kept),
            )
            kept.delete()


def _require(studio: Studio, section: Section | None, by: User) -> None:
    require_staff(by, studio)
    if section is not None:
        require_class(by, section)
        if section.studio_id != studio.pk:
            raise PermissionDenied


def _told(address: CalendarAddress) -> dict[str, str]:
    return {"section": str(address.section_id) if address.section_id else ""}
