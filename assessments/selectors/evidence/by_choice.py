"""How much of what the brief asks there was when the choice was made, for a suggested level."""

from collections.abc import Collection
from dataclasses import dataclass

from django.utils.translation import gettext as _

from assessments.scoring.suggesting import Reached, suggested_level
from assessments.selectors.rubrics import CriterionSeen, LevelSeen
from planning.exploration.gate import Counts
from planning.models import Ideas

from .seen import how_many_source_forms, how_many_thumbnails


@dataclass(frozen=True)
class Suggested:
    """A level, and in a sentence each how it came about."""

    level: LevelSeen
    why: tuple[str, ...]


@dataclass(frozen=True)
class ByChoice:
    """Counts by the first choice; `ideas` at most. `ideas_asked`: the brief asks for a number of
    ideas, else as many are wanted as source forms."""

    thumbnails: Reached
    source_forms: Reached
    ideas: Reached
    ideas_asked: bool

    def suggested(self, criterion: CriterionSeen) -> Suggested | None:
        counts = (self.thumbnails, self.source_forms, self.ideas)
        place = suggested_level(len(criterion.levels), counts)
        if place is None:
            return None
        reached = min(each.share for each in counts) >= 1
        return Suggested(criterion.levels[place], (self._why, _rule(reached=reached)))

    @property
    def _why(self) -> str:
        words = {
            "thumbnails": how_many_thumbnails(self.thumbnails.done),
            "asked": self.thumbnails.wanted,
            "forms": how_many_source_forms(self.source_forms.done),
            "asked_forms": self.source_forms.wanted,
            "ideas": self.ideas.done,
            "wanted": self.ideas.wanted,
        }
        text = _(
            "When the choice was made there were %(thumbnails)s (%(asked)s asked) from %(forms)s "
            "(%(asked_forms)s asked), at most %(ideas)s of them different ideas (%(wanted)s "
            "looked for, as many as source forms)."
        )
        if self.ideas_asked:
            text = _(
                "When the choice was made there were %(thumbnails)s (%(asked)s asked) from "
                "%(forms)s (%(asked_forms)s asked), at most %(ideas)s of them different ideas "
                "(%(wanted)s asked)."
            )
        return text % words


def _rule(*, reached: bool) -> str:
    if reached:
        return _(
            "All of that was reached. What no count shows, such as the reason, is yours to see."
        )
    return _(
        "Not all of that was reached. What no count shows, such as the reason, is yours to see."
    )


def by_choice(
    *,
    asked: Counts,
    before: Collection[tuple[str, str]],
    after: bool,
    kept: int | None,
    high: float | None,
    ideas: Ideas | None,
) -> ByChoice | None:
    """`before` are (id, source form) of the drawings that stood by the first choice, of which it
    kept that there were `kept` and at most `high` ideas; `after`: some stand that came later.

    What a teacher put right holds, where no drawing came later. None where nothing of it is known.
    """
    ids = {pk for pk, _form in before}
    told = ideas.told if ideas is not None else None
    unread = sum(1 for each in (told or {}).get("unreadable", ()) if each["id"] in ids)
    if told is not None and ideas is not None and not after and ideas.is_of(ids):
        high = told["high"]
    if high is None:
        return None
    drawn = max(len(ids), kept or 0)
    return ByChoice(
        thumbnails=Reached(drawn, asked.thumbnails),
        source_forms=Reached(len({form for _pk, form in before} - {""}), asked.source_forms),
        ideas=Reached(round(high), asked.ideas or max(1, asked.source_forms), unread),
        ideas_asked=bool(asked.ideas),
    )
