"""What has to be wrapped at the end of a lesson, and for how long."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from studio.people.models import Section
from studio.people.selectors import lessons_of
from studio.ware.models import Place, Pot
from studio.ware.stages import DAMP

from .pots import checked_pots, pots_of_class


@dataclass(frozen=True)
class CoverList:
    """The pots of one class whose open edge must stay damp, by place and then by name.

    `days` until `next_lesson`; both None where the class has no further lesson.
    """

    section: Section
    pots: list[Pot]
    next_lesson: date | None
    days: int | None

    @property
    def open_pots(self) -> list[Pot]:
        """Those that stand open to the air now."""
        return [pot for pot in self.pots if pot.covered_since is None]

    @property
    def covered_pots(self) -> list[Pot]:
        return [pot for pot in self.pots if pot.covered_since is not None]


def cover_list(section: Section, today: date) -> CoverList:
    """Wet and leather-hard pots that are still being built: the next row goes on a damp edge
    (common practice, no source). With the greenware check drying starts, and they leave the list.
    Three queries.
    """
    pots = list(pots_of_class(section).filter(stage__in=DAMP))
    checked = checked_pots(pots)
    coming = next((day for day in lessons_of(section) if day > today), None)
    return CoverList(
        section=section,
        pots=in_order(pot for pot in pots if pot.pk not in checked),
        next_lesson=coming,
        days=(coming - today).days if coming else None,
    )


def in_order(pots: Iterable[Pot]) -> list[Pot]:
    """By place, as somebody walks the room with the list, then by name."""
    return sorted(pots, key=lambda pot: (_place_name(pot.place), pot.piece.student.short_name))


def _place_name(place: Place | None) -> str:
    return place.name.casefold() if place is not None else ""
