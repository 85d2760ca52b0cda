"""What is said when a form can't be computed. It is refused, never repaired.

A problem is a path, a code and values. `MESSAGES` holds the sentence of each code with
`%(name)s` places, so that a layer that knows the reader's language and units can translate
the sentence and write the values; `Trouble.message` is the plain English one in millimetres.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from .said import Values, sentence, told

MESSAGES: Mapping[str, str] = {
    "not_a_number": sentence("This must be an ordinary number."),
    "too_few_points": sentence("A profile needs at least two points: the base edge and the rim."),
    "too_many_points": sentence("A profile may have at most %(most)s points. Leave some out."),
    "too_large": sentence("%(value_mm)s is too much. The most is %(most_mm)s. Check the unit."),
    "starts_above_table": sentence(
        "The first point is at %(height_mm)s. Begin at the base edge, at height 0."
    ),
    "runs_downwards": sentence(
        "Height line %(line)s is at %(height_mm)s, below the one before it at %(before_mm)s. "
        "Give the heights from the base to the rim."
    ),
    "must_rise": sentence(
        "Height line %(line)s is at %(height_mm)s like the one before it. "
        "In a side profile each line stands above the last."
    ),
    "flat_on_table": sentence(
        "Height line %(line)s is at height 0 as well. Give only the outermost point of the foot."
    ),
    "flat_rim": sentence(
        "Height line %(line)s widens at the height of the rim without rising. "
        "End the profile at the rim's edge."
    ),
    "same_point": sentence("Height line %(line)s repeats the one before it. Leave one out."),
    "crosses_axis": sentence(
        "At height line %(line)s (%(height_mm)s) the profile touches or crosses the axis. "
        "Half-widths are more than 0; only the last point of a closed form may be 0."
    ),
    "too_low": sentence("The pot is %(height_mm)s high. Give a rim above the table."),
    "tops_differ": sentence(
        "The side profile ends at %(side_mm)s and the front at %(front_mm)s. Both end at the rim."
    ),
    "section_too_flat": sentence(
        "At %(height_mm)s the pot is %(front_mm)s wide and %(depth_mm)s deep. "
        "Neither may be more than ten times the other."
    ),
    "depth_ratio": sentence("The depth is between %(least)s and %(most)s times the width."),
    "unknown_outline": sentence(
        "The outline is round, oval, leaf, rounded square or traced from points."
    ),
    "corner_ratio": sentence("The corner radius is between 0 and 1 of the half side."),
    "outline_few_points": sentence("A traced outline needs at least three points."),
    "outline_many_points": sentence(
        "A traced outline may have at most %(most)s points. Leave some out."
    ),
    "outline_many_corners": sentence(
        "A traced outline may have at most %(most)s sharp corners. Trace it more smoothly."
    ),
    "outline_same_point": sentence("Point %(point)s repeats the one before it. Leave one out."),
    "outline_crosses": sentence(
        "After point %(point)s the outline touches or crosses itself. Trace it once around "
        "without a crossing."
    ),
    "outline_too_flat": sentence(
        "The outline is more than ten times as long one way as the other. Trace a fuller one."
    ),
    "outline_turns_back": sentence(
        "After point %(point)s the outline turns back. Seen from the middle of its width and "
        "depth it must run on in one direction, with no part behind another."
    ),
    "unknown_drawn_as": sentence("The drawing shows the pot as built (wet) or as fired."),
    "must_be_positive": sentence("This must be more than 0."),
    "negative": sentence("This can't be less than 0."),
    "out_of_range": sentence("This is between %(least)s and %(most)s."),
    "shrinks_less_fired": sentence(
        "Total shrinkage counts from wet to fired, so it is at least the drying shrinkage "
        "of %(drying_pct)s."
    ),
    "base_too_thick": sentence(
        "The base is %(base_mm)s thick and the pot %(height_mm)s high. Make the base thinner."
    ),
    "wall_too_thin": sentence(
        "A wall of %(wall_mm)s is too thin for this form. Give at least %(least_mm)s."
    ),
    "no_hollow": sentence(
        "A wall of %(wall_mm)s fills the whole pot: no hollow is left. "
        "Make the wall thinner or the pot wider."
    ),
    "hollow_splits": sentence(
        "At %(height_mm)s the pot is %(front_mm)s wide and the wall meets itself, "
        "which cuts the hollow in two. Make the pot wider there or the wall thinner."
    ),
    "hollow_parts": sentence(
        "At %(height_mm)s, where the pot is %(front_mm)s wide, the outline is so narrow between "
        "two wider parts that the wall meets itself and the hollow falls into two. Make the "
        "outline wider there or the wall thinner."
    ),
    "foot_ring_fills": sentence(
        "A foot ring %(width_mm)s wide leaves no room inside it. Make it narrower."
    ),
}


@dataclass(frozen=True)
class Trouble:
    """One reason to refuse, at one path such as `profile.3.height_mm`."""

    path: str
    code: str
    values: Values = field(default_factory=dict)

    @property
    def message(self) -> str:
        return told(MESSAGES[self.code], self.values)


class FormRefused(Exception):  # noqa: N818 -- reads as what happened
    """The form can't be computed; `problems` says all that is wrong with it."""

    def __init__(self, problems: Iterable[Trouble]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(f"{each.path}: {each.message}" for each in self.problems))
