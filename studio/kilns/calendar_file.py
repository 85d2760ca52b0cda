"""Events as an iCalendar file (RFC 5545). Values in, bytes out; the library folds and escapes.

There is no METHOD, so DTSTAMP says when an event was last changed (RFC 5545, 3.8.7.2), and the
same events make the same bytes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from uuid import UUID

import icalendar

PRODUCT = "-//Coilcourse//Kiln calendar//EN"
READ_AGAIN = timedelta(hours=1)


@dataclass(frozen=True)
class Event:
    """Something that happens from `start` until `end`; at one moment where it has no end. Times
    are aware. `edition` counts the changes, the last of which was `changed_at`.
    """

    uid: UUID
    edition: int
    changed_at: datetime
    start: datetime
    end: datetime | None
    summary: str
    description: str
    address: str
    cancelled: bool = False


def calendar_file(name: str, events: Sequence[Event]) -> bytes:
    """The whole calendar, its times in UTC, so that no change of the clocks is in it."""
    calendar = icalendar.Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", PRODUCT)
    # RFC 7986 names a calendar by NAME; most programs read what was usual before it.
    calendar.add("name", name)
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", READ_AGAIN, parameters={"value": "DURATION"})
    for each in events:
        calendar.add_component(_event(each))
    if not events:
        # A calendar holds one component at least (RFC 5545, 3.6).
        calendar.add_component(icalendar.Timezone.from_tzid("Etc/UTC"))
    return bytes(calendar.to_ical())


def _event(event: Event) -> icalendar.Event:
    made = icalendar.Event()
    made.add("uid", str(event.uid))
    made.add("sequence", event.edition)
    made.add("dtstamp", event.changed_at.astimezone(UTC))
    made.add("dtstart", event.start.astimezone(UTC))
    if event.end is not None and event.end > event.start:
        made.add("dtend", event.end.astimezone(UTC))
    made.add("summary", event.summary)
    made.add("description", event.description)
    made.add("url", event.address)
    made.add("status", "CANCELLED" if event.cancelled else "CONFIRMED")
    # A kiln that fires keeps nobody from anything else.
    made.add("transp", "TRANSPARENT")
    return made
