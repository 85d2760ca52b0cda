"""What a person should know of the soft wall, as sentences without a figure of stress.

A note is a code with values; `MESSAGES` holds the sentences like those of the plan's checks.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from planning.geometry.profile import Floats
from planning.geometry.said import Said, sentence

from .building import Strain
from .midwall import MidWall
from .overhang import FLAT_SINE, Overhang
from .strength import Pause, pause_at

MESSAGES: Mapping[str, str] = {
    "foot_under_belly": sentence("The foot is narrow for the wall that it carries."),
    "foot_carries_all": sentence("The foot carries all of the wall."),
    "opens": sentence("At about %(place_mm)s the clay above pulls the wall apart sideways."),
    "shoulder": sentence("At about %(place_mm)s the wall lies flat under the clay above it."),
    "waist": sentence("At about %(place_mm)s the wall carries much for soft clay."),
    "leans_out": sentence(
        "From about %(place_mm)s on the wall leans out so flat that fresh rows hang free."
    ),
    "leans_in": sentence(
        "From about %(place_mm)s on the wall leans in so flat that fresh rows hang free."
    ),
    "pause": sentence(
        "Pause at about %(about_mm)s, between %(early_mm)s and %(late_mm)s, until the wall below "
        "has stiffened."
    ),
    "pause_from": sentence(
        "Pause at about %(about_mm)s, at %(early_mm)s at the earliest, until the wall below has "
        "stiffened."
    ),
    "pause_if_soft": sentence(
        "If the clay is very soft, pause at %(early_mm)s until the wall below has stiffened."
    ),
    "pause_row": sentence(
        "Pause about row %(about_row)s, between %(early_row)s and %(late_row)s, until the wall "
        "below has stiffened."
    ),
    "pause_row_from": sentence(
        "Pause about row %(about_row)s, after row %(early_row)s at the earliest, until the wall "
        "below has stiffened."
    ),
    "pause_after_row": sentence(
        "Pause after row %(about_row)s until the wall below has stiffened."
    ),
    "pause_row_if_soft": sentence(
        "If the clay is very soft, pause after row %(early_row)s until the wall below has "
        "stiffened."
    ),
    "reach": sentence(
        "Let rows reach out by about %(about_mm)s, between %(early_mm)s and %(late_mm)s, then "
        "wait until they have stiffened."
    ),
    "reach_from": sentence(
        "Let rows reach out by about %(about_mm)s, by %(early_mm)s at the least, then wait until "
        "they have stiffened."
    ),
    "reach_if_soft": sentence(
        "If the clay is very soft, let rows reach out by %(early_mm)s, then wait until they have "
        "stiffened."
    ),
    "round_equivalent": sentence(
        "The pot isn't round. This was worked out for a round pot that is as long around; flat "
        "sides and corners bend more."
    ),
}

WIDER_BELLY = 1.5
"""Times as wide as the foot: below that the wall is upright (common practice, no source)."""


class Note(Said):
    MESSAGES: ClassVar[Mapping[str, str]] = MESSAGES


@dataclass(frozen=True)
class Caution:
    """Why and where the soft wall may give way, and what to do.

    `severity` ranks cautions: the stress of the whole pot built at once ÷ the middle yield.
    """

    cause: Note
    advice: Note
    pause: Pause
    severity: float

    @property
    def message(self) -> str:
        return f"{self.cause.message} {self.advice.message}"


def strain_caution(wall: MidWall, strain: Strain) -> Caution:
    cause = Note(_strain_code(wall, strain), {"place_mm": strain.place_mm})
    return Caution(cause, _advice("pause", strain.pause), strain.pause, strain.severity)


def overhang_caution(overhang: Overhang) -> Caution | None:
    """None where fresh rows span the whole stretch."""
    pause, spans = pause_at(overhang.heights_mm), pause_at(overhang.spans_mm)
    if pause is None or spans is None:
        return None
    code = "leans_out" if overhang.leans_out else "leans_in"
    cause = Note(code, {"place_mm": overhang.from_mm})
    return Caution(cause, _advice("reach", spans), pause, overhang.severity)


def advice_in_rows(pause: Pause, row_tops_mm: Floats, laid: int = 0) -> Note:
    """The same pause counted in whole rows; `row_tops_mm` (rows,) rise from the foot, which
    stands on so many rows `laid` before."""
    heights = {"early": pause.early_mm, "about": pause.about_mm, "late": pause.late_mm}
    rows = {
        f"{name}_row": laid + whole_rows(height, row_tops_mm)
        for name, height in heights.items()
        if height is not None
    }
    if rows["early_row"] == rows.get("late_row"):
        return Note("pause_after_row", {"about_row": rows["about_row"]})
    return Note("pause_row" + _ENDINGS[len(rows)], rows)


def whole_rows(height_mm: float, row_tops_mm: Floats) -> int:
    """How many rows stand within a height of building, one at the least."""
    return max(int(np.searchsorted(row_tops_mm, height_mm, side="right")), 1)


_ENDINGS = {1: "_if_soft", 2: "_from", 3: ""}


def _advice(kind: str, found: Pause) -> Note:
    places = {"early_mm": found.early_mm, "about_mm": found.about_mm, "late_mm": found.late_mm}
    known = {name: mm for name, mm in places.items() if mm is not None}
    return Note(kind + _ENDINGS[len(known)], known)


def _strain_code(wall: MidWall, strain: Strain) -> str:
    if strain.cause == "opens":
        return "opens"
    if strain.cause == "foot":
        narrow = wall.radius_mm.max() >= WIDER_BELLY * wall.radius_mm[0]
        return "foot_under_belly" if narrow else "foot_carries_all"
    slope = wall.curve(wall.slant_at(np.array(strain.place_mm)), 1)[1]
    return "shoulder" if slope < FLAT_SINE else "waist"
