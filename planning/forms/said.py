"""Where in the plan's form something belongs that was said of one of its paths."""

from collections.abc import Sequence
from dataclasses import dataclass

from planning.plans.inputs import Drawn

# The first part of a path that matches says the field.
FIELDS = {
    "outline.depth_ratio": "depth_pct",
    "outline.corner_ratio": "corner_pct",
    "outline": "outline",
    "rim_outline.depth_ratio": "rim_depth_pct",
    "rim_outline.corner_ratio": "rim_corner_pct",
    "rim_outline": "rim_outline",
    "foot_ring.width_mm": "foot_width",
    "foot_ring.height_mm": "foot_height",
    "wall_mm.rim": "wall_rim",
    "wall_mm": "wall_base",
    "base_mm": "base",
    "added_g": "added",
    "drawn_as": "drawn_as",
}
OF_A_LINE = {
    "profile": {"left_mm": "left", "right_mm": "right", "front_mm": "front", "back_mm": "back"},
    "side_profile": {
        "left_mm": "front",
        "right_mm": "back",
        "front_mm": "front",
        "back_mm": "back",
    },
}


@dataclass(frozen=True)
class Spot:
    """A field of the form, of one row of height lines where `row` is a number; `field` is ""
    where it belongs to none."""

    field: str = ""
    row: int | None = None

    @property
    def anchor(self) -> str:
        """The id of what a link leads to."""
        if self.row is not None:
            return f"id_lines-{self.row}-{self.field}"
        # Of radio buttons the first one.
        radios = self.field in {"outline", "rim_outline", "drawn_as"}
        return f"id_{self.field}{'_0' if radios else ''}" if self.field else ""

    @property
    def of_the_side(self) -> bool:
        return self.row is not None and self.field in {"front", "back"}


def spot_of(path: str, drawn: Drawn, rows: Sequence[int], *, with_gaps: bool = False) -> Spot:
    """`rows` are the rows of the form that the plan's lines stand in. Computing leaves out the
    lines that aren't measured yet; what says that they aren't counts them, `with_gaps`."""
    name, *rest = path.split(".")
    if name in OF_A_LINE and rest and rest[0].isdecimal():
        places = list(range(len(drawn.lines))) if with_gaps else _measured(name, drawn)
        number = int(rest[0])
        if number < len(places):
            # A line that isn't measured is measured from the left.
            field = OF_A_LINE[name].get(rest[1], "height") if rest[1:] else "left"
            return Spot(field, rows[places[number]])
    parts = path.split(".")
    known = (".".join(parts[:count]) for count in range(len(parts), 0, -1))
    return Spot(next((FIELDS[each] for each in known if each in FIELDS), ""))


def _measured(profile: str, drawn: Drawn) -> list[int]:
    """Which lines of the plan are points of the profile."""
    front = profile == "profile"
    return [
        place
        for place, line in enumerate(drawn.lines)
        if None not in ((line.left_mm, line.right_mm) if front else (line.front_mm, line.back_mm))
    ]
