"""When the demo's students did what: lessons of their class, never a day that is still to come.

No Django here.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from studio.demo.clock import Clock

# Where each step falls, in parts of the lessons held so far.
CHOOSING, REFINING, PLANNING, SENDING = 0.42, 0.5, 0.68, 0.78
DRAWING = (0.0, 0.36)
FIRST_MINUTE, LESSON_MINUTES = 10, 40  # when in a lesson people get round to it
CHOSEN_MINUTE = 15  # nobody draws as many in one lesson


@dataclass(frozen=True)
class Diary:
    """One student's days in a project. `lessons` are the class's dates up to the day that planning
    ended or is under way, `shift` tells students apart, 0 to 1.
    """

    clock: Clock
    lessons: Sequence[date]
    given_on: date
    shift: float

    def drawing(self, number: int, count: int) -> datetime:
        """When thumbnail `number` (from 1) of `count` was sent."""
        low, high = DRAWING
        return self._at(low + (high - low) * (number - 1) / max(1, count - 1), number)

    def choosing(self) -> datetime:
        return self._at(CHOOSING, CHOSEN_MINUTE)

    def refining(self, number: int) -> datetime:
        return self._at(REFINING + 0.08 * number, CHOSEN_MINUTE + number)

    def planning(self, version: int = 1) -> datetime:
        return self._at(PLANNING, 30) if version == 1 else self._at(SENDING + 0.14, 20)

    def sending(self, version: int = 1) -> datetime:
        return self._at(SENDING + 0.14 * (version - 1), 40)

    def deciding(self, version: int = 1) -> datetime:
        """In the afternoon of the day after it was sent."""
        after = self.sending(version).astimezone(self.clock.zone) + timedelta(days=1)
        return self.clock.at(after.date(), 15, int(59 * self.shift))

    def _at(self, part: float, minute: int) -> datetime:
        held = self._held()
        place = min(len(held) - 1, round((part + 0.08 * (self.shift - 0.5)) * (len(held) - 1)))
        start = FIRST_MINUTE + int(LESSON_MINUTES * self.shift) // 4
        return self.clock.at(held[max(0, place)], 10, min(59, start + minute))

    def _held(self) -> Sequence[date]:
        """Lessons from the day that the brief was given up to today; that day if there is none."""
        until = bisect_right(self.lessons, self.clock.today)
        return [day for day in self.lessons[:until] if day >= self.given_on] or [self.given_on]
