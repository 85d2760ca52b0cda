"""By when a pot must come out of the kiln: a glaze firing by the day on which its project is due, a
bisque before its class glazes, and so early that the glaze firing after it is in time too.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db.models import DurationField, ExpressionWrapper, F, Max

from planning.models import Assignment
from studio.kilns.hours import midnight
from studio.kilns.models import Firing, Slot
from studio.people.models import Studio
from studio.people.selectors import lessons_by_class
from studio.ware.selectors import ReadyPot

DAY = timedelta(days=1)
UNKNOWN = timedelta(days=2)
"""Of a studio that hasn't planned a glaze firing yet: a day up, a day down (common practice, no
source)."""


@dataclass(frozen=True)
class WaitingClass:
    """One class's pots of a project that wait for one kind of firing, in the order of their codes,
    those that dry still among them.
    `glaze_day`: the last of its lessons that leaves time for a glaze firing; None for pots that are
    glazed already, and where no lesson does.
    """

    assignment: Assignment
    bisque: bool
    pots: tuple[ReadyPot, ...]
    glaze_day: date | None

    @property
    def key(self) -> str:
        return key_of(self.pots[0])


def key_of(ready: ReadyPot) -> str:
    """What a decision for a class's pots of one project and one kind of firing is kept under."""
    kind = Firing.BISQUE if is_for_bisque(ready) else Firing.GLAZE
    return f"{ready.pot.piece.assignment_id} {kind}"


def is_for_bisque(ready: ReadyPot) -> bool:
    return ready.pot.stage != "glazed"


def waiting_classes(
    studio: Studio, waiting: Iterable[ReadyPot], today: date
) -> tuple[WaitingClass, ...]:
    """The one whose project is due first comes first. Two queries however many."""
    found: dict[str, list[ReadyPot]] = {}
    for each in sorted(waiting, key=lambda each: each.pot.code):
        found.setdefault(key_of(each), []).append(each)
    sections = {pots[0].pot.piece.assignment.section_id for pots in found.values()}
    lessons = lessons_by_class(sections)
    takes = glaze_takes(studio)
    classes = [_class(studio, pots, lessons, takes, today) for pots in found.values()]
    classes.sort(key=lambda e: (e.assignment.due_on, str(e.assignment), not e.bisque))
    return tuple(classes)


def glaze_takes(studio: Studio) -> timedelta:
    """The longest that any of the studio's glaze firings was planned to take, cooling included.
    One query."""
    planned = Slot.objects.standing().filter(studio=studio, program__firing=Firing.GLAZE)
    taken = ExpressionWrapper(F("unload_at") - F("starts_at"), output_field=DurationField())
    longest: timedelta | None = planned.aggregate(longest=Max(taken))["longest"]
    return UNKNOWN if longest is None else longest


def due_moment(studio: Studio, due_on: date) -> datetime:
    """The end of that day on the studio's clock."""
    return midnight(due_on + DAY, studio.zone)


def _class(
    studio: Studio,
    pots: Sequence[ReadyPot],
    lessons: Mapping[UUID, Collection[date]],
    takes: timedelta,
    today: date,
) -> WaitingClass:
    assignment = pots[0].pot.piece.assignment
    bisque = is_for_bisque(pots[0])
    due = due_moment(studio, assignment.due_on)
    # Lit on the day after it at the earliest: what is glazed dries first.
    days = [
        day
        for day in lessons[assignment.section_id]
        if day > today and midnight(day + DAY, studio.zone) + takes <= due
    ]
    return WaitingClass(assignment, bisque, tuple(pots), max(days) if bisque and days else None)
