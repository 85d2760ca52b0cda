"""What is said when a firing or a load can't be computed. It is refused, never repaired.

As in `planning.geometry.refusal`: a problem is a path, a code and values, and `MESSAGES` holds the
sentence of each code. The ending of a value's name gives its unit, so that a layer that knows the
reader's units can write it.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from planning.geometry.said import Values, sentence

MESSAGES: Mapping[str, str] = {
    "not_a_number": sentence("This must be an ordinary number."),
    "must_be_positive": sentence("This must be more than 0."),
    "negative": sentence("This can't be less than 0."),
    "too_large_mm": sentence("%(value_mm)s is too much. The most is %(most_mm)s. Check the unit."),
    "too_hot": sentence("%(value_c)s is hotter than any kiln. The most is %(most_c)s."),
    "too_cold": sentence("%(value_c)s is colder than any kiln room. The least is %(least_c)s."),
    "too_long": sentence("%(value_h)s is too long. The most is %(most_h)s."),
    "no_segments": sentence("A program needs at least one segment."),
    "too_many_segments": sentence("A program may have at most %(most)s segments."),
    "unknown_cone_type": sentence("The cone table has no cones of this kind. Choose one of its."),
    "room_not_colder": sentence(
        "The kiln cools towards the room at %(room_c)s, so it never gets down to %(to_c)s. "
        "Choose an unloading temperature above the room's."
    ),
    "unknown_shelf": sentence("A shelf is round, oval, rectangular or eight-sided."),
    "unknown_outline": sentence(
        "The outline is round, oval, leaf, rounded square or traced from points."
    ),
    "corner_ratio": sentence("The corner radius is between 0 and 1 of the half side."),
    "too_few_points": sentence("A traced outline needs at least three points around an area."),
    "too_many_points": sentence("A traced outline may have at most %(most)s points."),
    "too_many_pieces": sentence("A load may be computed for at most %(most)s pots at once."),
    "same_id": sentence("%(id)s is listed twice. Each pot stands in a kiln once."),
    "unknown_piece": sentence("%(id)s stands on a shelf and isn't among the pots of the load."),
    "no_post": sentence(
        "A layer with another one above it needs its posts. Give their height in this layer."
    ),
    "too_many_in_week": sentence("There are %(count)s; a week may have at most %(most)s."),
    "unknown_kiln": sentence("%(id)s isn't among the kilns of this week."),
    "firing_order": sentence("A kiln is lit, is off later, and is unloaded then or after that."),
    "until_too_early": sentence("The week ends after its last firing can be unloaded."),
}

_UNITS = {"_c_per_h": " °C/h", "_mm": " mm", "_c": " °C", "_h": " h", "_min": " min", "_kw": " kW"}


def shown(name: str, value: float | str) -> str:
    """A value as plain text, with the unit that its name ends in."""
    if isinstance(value, str):
        return value
    return f"{value:.4g}" + next((u for end, u in _UNITS.items() if name.endswith(end)), "")


def told(message: str, values: Values) -> str:
    """A sentence in plain English with its values in it."""
    return message % {name: shown(name, value) for name, value in values.items()}


@dataclass(frozen=True)
class Trouble:
    """One reason to refuse, at one path such as `segments.0.rate_c_per_h`."""

    path: str
    code: str
    values: Values = field(default_factory=dict)

    @property
    def message(self) -> str:
        return told(MESSAGES[self.code], self.values)


class KilnRefused(Exception):  # noqa: N818 -- reads as what happened
    """A firing or a load can't be computed; `problems` says all that is wrong with it."""

    def __init__(self, problems: Iterable[Trouble]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(f"{each.path}: {each.message}" for each in self.problems))
