"""What a student enters of a plan: kept as JSON while it is a draft, read for the computation.

The shape is the one of the compute API, with `lines` that may still be empty in a draft instead
of a finished profile. Clay body, corner coil and allowance come from the assignment.
"""

from dataclasses import asdict, dataclass, replace
from typing import Any

from planning.geometry.inputs import Body, FootRing, Outline, PlanInputs, Point, Wall
from planning.models.brief import Terms
from studio.units.scales import MM_PER_INCH, Units

MOST_LINES = 60
"""Height lines of a plan."""


@dataclass(frozen=True)
class Line:
    """A height line as typed: half-widths are None until they are measured. Front and back are
    of the side drawing, where there is one."""

    height_mm: float
    left_mm: float | None = None
    right_mm: float | None = None
    front_mm: float | None = None
    back_mm: float | None = None

    @property
    def has_gap(self) -> bool:
        """A half-width is missing, or one of the side drawing's two."""
        sides = (self.front_mm is None, self.back_mm is None)
        return self.left_mm is None or self.right_mm is None or len(set(sides)) > 1


@dataclass(frozen=True)
class Drawn:
    """The student's own part of a plan. Lengths in millimetres, wet clay in grams."""

    lines: tuple[Line, ...]
    outline: Outline
    drawn_as: str
    wall_base_mm: float
    wall_rim_mm: float
    base_mm: float
    uneven_on_purpose: bool = False
    rim_outline: Outline | None = None
    foot_ring: FootRing | None = None
    added_g: float = 0.0

    @property
    def measured(self) -> tuple[Point, ...]:
        """The lines that have both half-widths."""
        return tuple(
            Point(line.height_mm, line.left_mm, line.right_mm)
            for line in self.lines
            if line.left_mm is not None and line.right_mm is not None
        )

    @property
    def side(self) -> tuple[Point, ...] | None:
        """The lines that have both half-widths of the side drawing; None without one."""
        return (
            tuple(
                Point(line.height_mm, line.front_mm, line.back_mm)
                for line in self.lines
                if line.front_mm is not None and line.back_mm is not None
            )
            or None
        )

    @property
    def gaps(self) -> list[int]:
        """Places of the lines that lack a half-width."""
        return [place for place, line in enumerate(self.lines) if line.has_gap]

    @property
    def is_round(self) -> bool:
        """As wide as deep everywhere, so that a depth says nothing new."""
        shapes = {each.shape for each in (self.outline, self.rim_outline) if each is not None}
        return shapes == {"round"} and self.side is None


def drawn_as_json(drawn: Drawn) -> dict[str, Any]:
    return {
        "lines": [_line_as_json(line) for line in drawn.lines],
        "outline": asdict(drawn.outline),
        "rim_outline": asdict(drawn.rim_outline) if drawn.rim_outline else None,
        "foot_ring": asdict(drawn.foot_ring) if drawn.foot_ring else None,
        "added_g": drawn.added_g,
        "drawn_as": drawn.drawn_as,
        "wall_mm": {"base": drawn.wall_base_mm, "rim": drawn.wall_rim_mm},
        "base_mm": drawn.base_mm,
        "uneven_on_purpose": drawn.uneven_on_purpose,
    }


def drawn_from_json(kept: dict[str, Any]) -> Drawn:
    """What follows `outline` in the first versions of a plan may be missing."""
    rim, ring = kept.get("rim_outline"), kept.get("foot_ring")
    return Drawn(
        lines=tuple(Line(*line) for line in kept["lines"]),
        outline=_outline(kept["outline"]),
        rim_outline=_outline(rim) if rim else None,
        foot_ring=FootRing(**ring) if ring else None,
        added_g=kept.get("added_g", 0.0),
        drawn_as=kept["drawn_as"],
        wall_base_mm=kept["wall_mm"]["base"],
        wall_rim_mm=kept["wall_mm"]["rim"],
        base_mm=kept["base_mm"],
        uneven_on_purpose=kept["uneven_on_purpose"],
    )


def _line_as_json(line: Line) -> list[float | None]:
    sides = [line.front_mm, line.back_mm]
    return [line.height_mm, line.left_mm, line.right_mm, *(() if sides == [None, None] else sides)]


def _outline(kept: dict[str, Any]) -> Outline:
    points = tuple((x, y) for x, y in kept.get("points", ()))
    return Outline(**(kept | {"points": points}))


def usual_spacing_mm(units: Units) -> float:
    """Between height lines: every 2 cm or every inch, ten to twenty lines on a school's pot
    (common practice, no source)."""
    return float(MM_PER_INCH) if units.length_unit == "in" else 20.0


def first_lines(height_mm: float, every_mm: float) -> tuple[Line, ...]:
    """Evenly spaced height lines from the table to the rim, so that the pot can be measured
    against them while it grows (common practice, no source)."""
    count = int(height_mm // every_mm)
    heights = [place * every_mm for place in range(count + 1)]
    # A last gap of less than a quarter is no line of its own: the rim takes its place.
    if height_mm - heights[-1] < every_mm / 4 and len(heights) > 1:
        heights.pop()
    return tuple(Line(round(height, 3)) for height in (*heights, height_mm))


def computed_from(drawn: Drawn, terms: Terms) -> PlanInputs:
    """The inputs of the computation: what was drawn, under the assignment's terms."""
    clay = terms.clay_body
    return PlanInputs(
        profile=drawn.measured,
        side_profile=drawn.side,
        outline=drawn.outline,
        rim_outline=drawn.rim_outline,
        foot_ring=drawn.foot_ring,
        added_g=drawn.added_g,
        drawn_as="fired" if drawn.drawn_as == "fired" else "wet",
        wall=Wall(drawn.wall_base_mm, drawn.wall_rim_mm),
        base_mm=drawn.base_mm,
        corner_coil_mm=float(terms.corner_coil_mm),
        working_allowance_pct=float(terms.working_allowance_pct),
        allowance_range_pct=terms.allowance_range_pct,
        body=Body(
            wet_density_g_per_cm3=float(clay.wet_density_g_per_cm3),
            water_pct_wet_basis=float(clay.water_pct_wet_basis),
            drying_shrinkage_pct=float(clay.drying_shrinkage_pct),
            total_shrinkage_pct=float(clay.total_shrinkage_pct),
            loss_on_ignition_pct=float(clay.loss_on_ignition_pct),
        ),
    )


def with_terms(drawn: Drawn, terms: Terms) -> dict[str, Any]:
    """What was entered together with all that the computation used, to be kept for good."""
    used = asdict(computed_from(drawn, terms))
    return drawn_as_json(drawn) | {
        "profile": used["profile"],
        "corner_coil_mm": used["corner_coil_mm"],
        "working_allowance_pct": used["working_allowance_pct"],
        "allowance_range_pct": used["allowance_range_pct"],
        "body": {"name": terms.clay_body.name, **used["body"]},
    }


def kept_inputs(kept: dict[str, Any], terms: Terms) -> PlanInputs:
    """The inputs of a plan as it stands: of one that was sent with the clay body as it was then,
    of a draft as it is now."""
    inputs = computed_from(drawn_from_json(kept), terms)
    if "body" not in kept:
        return inputs
    body = {name: value for name, value in kept["body"].items() if name != "name"}
    return replace(
        inputs,
        body=Body(**body),
        corner_coil_mm=kept["corner_coil_mm"],
        working_allowance_pct=kept["working_allowance_pct"],
        allowance_range_pct=_pair(kept.get("allowance_range_pct")),
    )


def _pair(kept: list[float] | None) -> tuple[float, float] | None:
    return None if kept is None else (kept[0], kept[1])
