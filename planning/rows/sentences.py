"""What is said about rows: codes with values, their sentences like those of a plan's checks.

The bounds that the sentences speak of are common practice, no source.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import ClassVar

from planning.geometry import said
from planning.geometry.said import sentence

MESSAGES: Mapping[str, str] = {
    # --- something to look at
    "coil_thin": sentence(
        "A coil of %(coil_mm)s is thin for a wall of %(wall_mm)s: working it in makes it thinner "
        "still. Roll coils of %(least_mm)s or more."
    ),
    "coil_thick": sentence(
        "A coil of %(coil_mm)s is thick for a wall of %(wall_mm)s: such rows are hard to thin "
        "evenly. Roll coils of %(most_mm)s or less."
    ),
    "coil_changed": sentence(
        "Coils of %(asked_mm)s do not make up this wall in whole rows. Roll them %(coil_mm)s thick."
    ),
    "seams_close": sentence(
        "Row %(row)s takes %(coils)s coils. Some of its seams lie only %(apart_deg)s from one "
        "below: work these seams well, inside and out."
    ),
    "lessons_short": sentence(
        "On the last date the wall stands at row %(row)s of %(rows)s, %(height_mm)s high. Add "
        "dates, lay more in a lesson, or plan a smaller pot."
    ),
    # --- rests
    "lesson_end": sentence(
        "Stop after row %(row)s, at the end of the lesson. Keep the edge damp under plastic; "
        "score and slip it before the next row."
    ),
    "stiffen": sentence(
        "Rest after row %(row)s until the wall below has stiffened. Keep the edge damp; score and "
        "slip it before the next row."
    ),
    # --- the wall that a height means
    "wall_as_planned": sentence(
        "The wall is about %(wall_mm)s thick, as planned. After row %(row)s the plan says "
        "%(planned_height_mm)s."
    ),
    "wall_thicker": sentence(
        "The wall is about %(wall_mm)s thick; planned are %(planned_mm)s. After row %(row)s it "
        "should stand at %(planned_height_mm)s. Squeeze and draw it up, and work the next rows "
        "thinner."
    ),
    "wall_thinner": sentence(
        "The wall is about %(wall_mm)s thick; planned are %(planned_mm)s. After row %(row)s it "
        "should stand at %(planned_height_mm)s. Press the next rows less, and let the wall "
        "stiffen before it carries more."
    ),
    # --- what can't be computed
    "out_of_range": sentence("This is between %(least)s and %(most)s."),
    "too_many_rows": sentence(
        "Coils of %(coil_mm)s make %(rows)s rows. Roll them %(least_mm)s thick or more."
    ),
    "table_too_short": sentence(
        "A table of %(table_mm)s is too short for these coils. Give %(least_mm)s or more."
    ),
    "one_pace": sentence("Give either a length of wall or a number of rows for this lesson."),
    "dates_fall": sentence("This date must come after the one before it."),
    "too_few_rows": sentence("The plan has %(rows)s rows only."),
    "off_the_wall": sentence(
        "This height is not on the wall: it lies between %(least_mm)s and %(most_mm)s."
    ),
    "no_width": sentence("Measure the width, the depth or the way round at this height."),
    "too_far_off": sentence(
        "The plan is %(planned_mm)s here and the pot %(value_mm)s. That is too far off to carry on "
        "from. Check the unit; if it is right, draw a new plan."
    ),
    "no_rows_laid": sentence("Give the rows that are laid already, at least one."),
}


class Said(said.Said):
    MESSAGES: ClassVar[Mapping[str, str]] = MESSAGES


@dataclass(frozen=True)
class Trouble(Said):
    """One reason to refuse, at one path such as `lessons.3.rise_mm`."""

    path: str = ""


class RowsRefused(Exception):  # noqa: N818 -- reads as what happened
    """No rows can be laid by this; `problems` says all that is wrong."""

    def __init__(self, problems: Iterable[Trouble]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(f"{each.path}: {each.message}" for each in self.problems))
