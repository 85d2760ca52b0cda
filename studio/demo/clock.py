"""Days of the demo, counted from the day of loading. No Django here."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo


@dataclass(frozen=True)
class Clock:
    """The moment of loading, as the studio's wall clock shows it."""

    now: datetime
    zone: ZoneInfo

    @property
    def today(self) -> date:
        return self.now.astimezone(self.zone).date()

    def day(self, offset: int) -> date:
        """The date so many days from today; negative is past."""
        return self.today + timedelta(days=offset)

    def at(self, day: date, hour: int, minute: int = 0) -> datetime:
        """A moment of a day in the studio; never later than now."""
        return min(datetime.combine(day, time(hour, minute), self.zone), self.now)
