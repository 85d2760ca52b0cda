"""How pots look where they are drawn, and how they are offered to be picked."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from studio.people.models import Section
from studio.ware.models import Pot, Stage, StageEntry
from studio.ware.wording import standing_words


def looks_of(pots: Collection[Pot]) -> dict[UUID, str]:
    """By pot: the pattern that it is drawn with. On display it looks as it was fired last.

    One query.
    """
    fired = StageEntry.objects.filter(
        pot__in=[pot.pk for pot in pots if pot.stage in {Stage.ON_DISPLAY, Stage.COLLECTED}],
        stage=Stage.GLAZE_FIRED,
    )
    glaze_fired = set(fired.values_list("pot", flat=True))
    return {pot.pk: _look(pot, glazed=pot.pk in glaze_fired) for pot in pots}


def _look(pot: Pot, *, glazed: bool) -> str:
    if pot.lost:
        return pot.lost
    if pot.stage in {Stage.ON_DISPLAY, Stage.COLLECTED}:
        return str(Stage.GLAZE_FIRED if glazed else Stage.BISQUE_FIRED)
    return pot.stage


@dataclass(frozen=True)
class Pick:
    """A pot that can be tapped: how it looks, where it stands, and whether it is chosen."""

    pot: Pot
    look: str
    words: str
    chosen: bool


def picks_of(
    pots: Sequence[Pot], today: date, *, chosen: Collection[UUID] = frozenset()
) -> list[Pick]:
    """One query; piece, student, plan and place are loaded."""
    looks = looks_of(pots)
    return [Pick(pot, looks[pot.pk], standing_words(pot, today), pot.pk in chosen) for pot in pots]


def by_class(picks: Iterable[Pick]) -> list[tuple[Section, list[Pick]]]:
    """In the order of the classes' names; the pots' assignments and classes are loaded."""
    found: dict[UUID, tuple[Section, list[Pick]]] = {}
    for pick in picks:
        section = pick.pot.piece.assignment.section
        found.setdefault(section.pk, (section, []))[1].append(pick)
    return sorted(found.values(), key=lambda group: group[0].title)
