"""What has to be wrapped at the end of a lesson, and for how long."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from planning.models import Piece
from studio.people.models import Section
from studio.people.selectors import lessons_by_class
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
    return _listed(section, pots, checked_pots(pots), lessons_by_class([section.pk]), today)


def cover_lists(sections: Collection[Section], today: date) -> list[CoverList]:
    """The same for several classes in as many queries; classes without such a pot are left out."""
    by_class: dict[UUID, list[Pot]] = {section.pk: [] for section in sections}
    here = Piece.objects.filter(assignment__section__in=list(by_class)).of_enrolled().order_by()
    rows = Pot.objects.standing().filter(stage__in=DAMP, piece__in=here)
    for pot in rows.select_related("piece__student", "piece__assignment", "place"):
        by_class[pot.piece.assignment.section_id].append(pot)
    checked = checked_pots([pot for pots in by_class.values() for pot in pots])
    lessons = lessons_by_class(list(by_class))
    lists = [
        _listed(section, by_class[section.pk], checked, lessons, today) for section in sections
    ]
    return [each for each in lists if each.pots]


def _listed(
    section: Section,
    pots: Collection[Pot],
    checked: Collection[UUID],
    lessons: dict[UUID, list[date]],
    today: date,
) -> CoverList:
    coming = next((day for day in lessons[section.pk] if day > today), None)
    kept = [pot for pot in pots if pot.pk not in checked]
    return CoverList(
        section=section,
        pots=sorted(kept, key=lambda pot: (_place_name(pot.place), pot.piece.student.short_name)),
        next_lesson=coming,
        days=(coming - today).days if coming else None,
    )


def _place_name(place: Place | None) -> str:
    return place.name.casefold() if place is not None else ""
