"""Which drawings of a piece are one idea and how many ideas they are, as a page says it."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.exploration.advice import MESSAGES, ONE, Shape, advice
from planning.exploration.ideas import in_whole
from planning.models import Ideas, Piece, Thumbnail
from studio.web.shown import number_text

from .ideas import unreadable_sentence

State = Literal["none", "comparing", "failed", "compared"]


@dataclass(frozen=True)
class IdeasSeen:
    """`together`: rows of drawings that are one idea; `alone`: each one of its own; `copies`: rows
    of the same drawing; `unread`: drawings that could not be compared, and why. `by_hand`: a
    teacher put something of it right."""

    state: State
    number: str = ""
    advice: str = ""
    by_hand: bool = False
    together: list[list[Thumbnail]] = field(default_factory=list)
    alone: list[Thumbnail] = field(default_factory=list)
    copies: list[list[Thumbnail]] = field(default_factory=list)
    unread: list[tuple[Thumbnail, str]] = field(default_factory=list)


def ideas_seen(piece: Piece, ideas: Ideas | None, thumbnails: Sequence[Thumbnail]) -> IdeasSeen:
    """`ideas` of these thumbnails, which stand and were read; None while they are compared. In a
    class whose ideas aren't counted there is nothing to see."""
    by_id = {str(each.pk): each for each in thumbnails}
    if not by_id or not piece.assignment.ideas_counted:
        return IdeasSeen("none")
    if ideas is None:
        return IdeasSeen("comparing")
    told = ideas.told
    if told is None:
        return IdeasSeen("failed")
    rows = [[by_id[pk] for pk in group] for group in told["groups"]]
    return IdeasSeen(
        "compared",
        number=_number(told),
        advice=_advice(told),
        by_hand=ideas.put_right is not None,
        together=[row for row in rows if len(row) > 1],
        alone=[row[0] for row in rows if len(row) == 1],
        copies=_copies(told["copies"], by_id),
        unread=[(by_id[each["id"]], unreadable_sentence(each)) for each in told["unreadable"]],
    )


def _number(told: Mapping[str, Any]) -> str:
    """About how many ideas, and between which numbers; what couldn't be compared may be more."""
    if not told["groups"]:
        return ""
    about, low, high = in_whole(told["distinct"], told["low"], told["high"])
    high += len(told["unreadable"])
    words = {"n": number_text(about), "low": number_text(low), "high": number_text(high)}
    if low == high:
        return ngettext("About %(n)s idea.", "About %(n)s ideas.", about) % words
    return (
        ngettext(
            "About %(n)s idea; between %(low)s and %(high)s.",
            "About %(n)s ideas; between %(low)s and %(high)s.",
            about,
        )
        % words
    )


def _advice(told: Mapping[str, Any]) -> str:
    shapes = [Shape(build, widest) for build, widest in told["shapes"].values()]
    code = advice(shapes)
    if not code:
        return ""
    text = ONE[code] if len(shapes) == 1 else MESSAGES[code]
    return _(text) % {"n": number_text(len(shapes))}


def _copies(
    pairs: Sequence[Sequence[str]], by_id: Mapping[str, Thumbnail]
) -> list[list[Thumbnail]]:
    rows: dict[str, list[Thumbnail]] = defaultdict(list)
    for first, later in pairs:
        rows[first] = rows[first] or [by_id[first]]
        rows[first].append(by_id[later])
    return list(rows.values())
