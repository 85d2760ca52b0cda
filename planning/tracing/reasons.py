"""Why a tracing isn't trusted: every code, and the sentence that says what to do."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from planning.geometry.said import sentence

MESSAGES: Mapping[str, str] = {
    "no_card": sentence(
        "The scale card is not seen. Lay it flat beside the drawing, with all four markers in the "
        "picture, and take the photo again."
    ),
    "card_partly_seen": sentence(
        "Only a part of the scale card is seen. Keep all four markers free of hands, shadow and "
        "glare, and take the photo again."
    ),
    "too_small": sentence(
        "The drawing is too small in this picture. Go nearer, so that paper and card fill the "
        "picture, and take the photo again."
    ),
    "too_tilted": sentence(
        "The photo is taken too much from the side. Hold the camera level over the middle of the "
        "paper and take it again."
    ),
    "blurred": sentence(
        "The photo is blurred. Hold the camera still, tap the drawing to focus, and take it again."
    ),
    "points_dont_fit": sentence(
        "The points that were tapped don't fit the measures given for them. Tap them again."
    ),
    "no_height_lines": sentence(
        "The height lines are not seen as level, evenly spaced lines. Draw them over the whole pot "
        "with a ruler, a little lighter than the pot's outline, and give their spacing."
    ),
    "scale_disagrees": sentence(
        "The height lines are %(measured_mm)s apart by the scale and not %(spacing_mm)s. "
        "Check the spacing, and that the card was printed at 100 %%."
    ),
    "no_line_work": sentence(
        "No outline of a pot is found. Draw it with one clear line from foot to rim."
    ),
    "one_side": sentence(
        "Only one side of the pot is found and no axis. Draw the axis, or the other side."
    ),
    "axis_or_side": sentence(
        "Two straight lines are found, and either could be the axis. "
        "Say whether half of the pot is drawn or the whole."
    ),
    "several_lines": sentence(
        "More than one line could be the pot's outline. Rub out the others and take the photo "
        "again."
    ),
    "gaps": sentence(
        "The outline has gaps or is too faint. Go over it once with a dark pencil and take the "
        "photo again."
    ),
    "ends_differ": sentence(
        "The left and the right side don't begin and end at the same height. "
        "Check foot and rim of the drawing."
    ),
    "cut_off": sentence(
        "The outline runs out of the picture, or something lies over it. Lay the card beside the "
        "drawing, keep all of the pot in the picture, and take it again."
    ),
    "no_foot": sentence(
        "The foot of the pot is not on a level line. Draw the lowest height line, or the line of "
        "the table, where the outline begins."
    ),
    "sides_disagree": sentence(
        "The left and the right side are %(apart_mm)s apart from being alike. "
        "Check that both are the pot's outline."
    ),
    "no_closed_line": sentence(
        "No closed outline is found. Draw the base with one clear line that comes back to its "
        "start."
    ),
}


@dataclass(frozen=True)
class Reason:
    """A code of `MESSAGES` with its values; `message` is the plain English one in millimetres."""

    code: str
    values: Mapping[str, float] = field(default_factory=dict)

    @property
    def message(self) -> str:
        return MESSAGES[self.code] % {name: f"{v:.1f} mm" for name, v in self.values.items()}


class Untrusted(Exception):  # noqa: N818 -- says what is wrong with the photo
    """The photo gives no numbers, for this reason."""

    def __init__(self, code: str, **values: float) -> None:
        super().__init__(code)
        self.reason = Reason(code, values)
