"""What is decided by hand before a week is planned: for each pot that waits, and for each class."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from django.http import QueryDict
from django.utils.dateparse import parse_date
from django.utils.translation import gettext as _

from studio.errors import Problem, Refused
from studio.kilns.models import Firing, Slot
from studio.kilns.selectors.slots import short_when_text
from studio.kilns.selectors.week_asked import ByHand
from studio.kilns.selectors.week_dates import WaitingClass
from studio.people.models import Studio
from studio.ware.models import Pot
from studio.ware.selectors import ReadyPot

MUST_GO, NOT_NOW = "must_go", "not_now"


@dataclass(frozen=True)
class PotRow:
    """A pot, what may be decided for it as (value, words), and which of these stands. `dry_on`: it
    dries still, and is likely air dry on that day."""

    pot: Pot
    dry_on: date | None
    name: str
    choices: tuple[tuple[str, str], ...]
    chosen: str


@dataclass(frozen=True)
class ClassRows:
    """`glaze_day` stands in its field; `number` tells the fields of one class from another's."""

    waiting: WaitingClass
    number: int
    rows: tuple[PotRow, ...]
    glaze_day: str
    together: bool
    decided: bool
    problem: str = ""


@dataclass
class WeekPlanFields:
    """`by_hand` is what was decided last; what is `posted` stands instead of it."""

    studio: Studio
    classes: Sequence[WaitingClass]
    slots: Sequence[Slot]
    by_hand: ByHand
    posted: QueryDict
    problems: dict[str, str] = field(default_factory=dict)

    def decided(self) -> ByHand:
        """Pots that don't wait any more are passed over. Raises Refused at the field."""
        pots = [str(each.pot.pk) for waiting in self.classes for each in waiting.pots]
        chosen = {pk: self.posted.get(f"pot {pk}", "") for pk in pots}
        days = {each.key: self._day(each) for each in self.classes if each.bisque}
        if self.problems:
            raise Refused.all_of(Problem(said, name) for name, said in self.problems.items())
        proposed = {each.key: each.glaze_day for each in self.classes}
        return ByHand(
            must_go=frozenset(pk for pk, value in chosen.items() if value == MUST_GO),
            not_now=frozenset(pk for pk, value in chosen.items() if value == NOT_NOW),
            pinned={pk: to for pk, to in chosen.items() if to not in {"", MUST_GO, NOT_NOW}},
            together=frozenset(
                each.key for each in self.classes if f"together {each.key}" in self.posted
            ),
            glaze_days={key: day for key, day in days.items() if day != proposed[key]},
        )

    def refuse(self, refusal: Refused) -> None:
        """Each reason at its field."""
        self.problems |= {each.field: each.message for each in refusal.problems}

    def rows(self) -> list[ClassRows]:
        return [self._class(each, number) for number, each in enumerate(self.classes)]

    @property
    def trouble(self) -> str:
        """What belongs to no field."""
        return self.problems.get("", "")

    def _day(self, waiting: WaitingClass) -> date | None:
        name = f"glaze_day {waiting.key}"
        typed = str(self.posted.get(name, _unasked(waiting))).strip()
        try:
            day = parse_date(typed)
        except ValueError:  # such as 31 February
            day = None
        if typed and day is None:
            self.problems[name] = _("Write the day as a date, such as 2026-03-20.")
        return day

    def _class(self, waiting: WaitingClass, number: int) -> ClassRows:
        rows = tuple(self._row(each, waiting) for each in waiting.pots)
        day = self.by_hand.glaze_days.get(waiting.key, waiting.glaze_day)
        name = f"glaze_day {waiting.key}"
        together = waiting.key in self.by_hand.together
        if self.posted:
            together = f"together {waiting.key}" in self.posted
        problem = self.problems.get(name, "")
        moved = waiting.key in self.by_hand.glaze_days
        return ClassRows(
            waiting,
            number,
            rows,
            self.posted.get(name, day.isoformat() if day else ""),
            together,
            bool(together or problem or moved or any(row.chosen for row in rows)),
            problem,
        )

    def _row(self, each: ReadyPot, waiting: WaitingClass) -> PotRow:
        pot = each.pot
        name, pk = f"pot {pot.pk}", str(pot.pk)
        choices = [("", _("as it fits")), (MUST_GO, _("must go")), (NOT_NOW, _("not now"))]
        choices += self._into[waiting.bisque]
        chosen = self.by_hand.pinned.get(pk, "")
        if pk in self.by_hand.must_go | self.by_hand.not_now:
            chosen = MUST_GO if pk in self.by_hand.must_go else NOT_NOW
        return PotRow(pot, each.dry_on, name, tuple(choices), self.posted.get(name, chosen))

    @cached_property
    def _into(self) -> dict[bool, list[tuple[str, str]]]:
        """Slots that a pot may be pinned to, by whether they are bisques."""
        found: dict[bool, list[tuple[str, str]]] = {True: [], False: []}
        for slot in self.slots:
            when = short_when_text(slot.starts_at, self.studio.zone)
            words = _("into %(kiln)s, %(when)s") % {"kiln": slot.kiln, "when": when}
            found[slot.program.firing == Firing.BISQUE].append((str(slot.pk), words))
        return found


def _unasked(waiting: WaitingClass) -> str:
    return waiting.glaze_day.isoformat() if waiting.glaze_day else ""
