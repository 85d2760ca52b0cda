"""What is wrong with the numbers of a plan, before anything is computed from them."""

import math
from collections.abc import Iterator, Sequence
from typing import get_args

from . import tolerances
from .inputs import Body, Outline, PlanInputs, Point, Shape
from .refusal import Trouble
from .said import Values
from .shrinkage import enlargement
from .traced import traced_troubles

SIDES = {"profile": ("left_mm", "right_mm"), "side_profile": ("front_mm", "back_mm")}


def troubles(inputs: PlanInputs) -> list[Trouble]:
    """Everything that can be told without computing the form."""
    found = list(_profile_troubles("profile", inputs.profile))
    if inputs.side_profile is not None:
        found += _profile_troubles("side_profile", inputs.side_profile)
        if not found:
            found += _side_troubles(inputs.profile, inputs.side_profile)
    found += _choice_troubles(inputs)
    found += _length_troubles(inputs)
    found += _body_troubles(inputs.body)
    found += _range("working_allowance_pct", inputs.working_allowance_pct, 0, 200)
    if not found and inputs.base_mm >= wet_height(inputs):
        values = {"base_mm": inputs.base_mm, "height_mm": wet_height(inputs)}
        found.append(Trouble("base_mm", "base_too_thick", values))
    return found


def enlargement_of(inputs: PlanInputs) -> float:
    """Wet length per length drawn."""
    if inputs.drawn_as == "wet":
        return 1.0
    return enlargement(inputs.body.total_shrinkage_pct / 100)


def wet_height(inputs: PlanInputs) -> float:
    return inputs.profile[-1].height_mm * enlargement_of(inputs)


def _profile_troubles(name: str, points: Sequence[Point]) -> Iterator[Trouble]:
    if len(points) < tolerances.LEAST_POINTS:
        yield Trouble(name, "too_few_points")
        return
    if len(points) > tolerances.MOST_POINTS:
        yield Trouble(name, "too_many_points", {"most": str(tolerances.MOST_POINTS)})
        return
    numbers = [trouble for i, point in enumerate(points) for trouble in _numbers(name, i, point)]
    yield from numbers
    if numbers:
        return
    if points[0].height_mm != 0:
        values = {"height_mm": points[0].height_mm}
        yield Trouble(f"{name}.0.height_mm", "starts_above_table", values)
    for i, point in enumerate(points):
        yield from _width_troubles(name, i, point, is_last=i == len(points) - 1)
    for i in range(1, len(points)):
        yield from _step_troubles(name, i, points)
    if 0 < points[-1].height_mm < tolerances.LEAST_HEIGHT_MM:
        values = {"height_mm": points[-1].height_mm}
        yield Trouble(f"{name}.{len(points) - 1}.height_mm", "too_low", values)


def _numbers(name: str, i: int, point: Point) -> Iterator[Trouble]:
    left, right = SIDES[name]
    named = (("height_mm", point.height_mm), (left, point.left_mm), (right, point.right_mm))
    for field, value in named:
        yield from _number(f"{name}.{i}.{field}", value)


def _number(path: str, value: float) -> Iterator[Trouble]:
    if not math.isfinite(value):
        yield Trouble(path, "not_a_number")
    elif abs(value) > tolerances.MOST_LENGTH_MM:
        yield Trouble(path, "too_large", {"value_mm": value, "most_mm": tolerances.MOST_LENGTH_MM})


def _width_troubles(name: str, i: int, point: Point, *, is_last: bool) -> Iterator[Trouble]:
    for field, half in zip(SIDES[name], (point.left_mm, point.right_mm), strict=True):
        if half < 0 or (half <= tolerances.NO_WIDTH_MM and not is_last):
            values: Values = {"line": str(i + 1), "height_mm": point.height_mm}
            yield Trouble(f"{name}.{i}.{field}", "crosses_axis", values)


def _step_troubles(name: str, i: int, points: Sequence[Point]) -> Iterator[Trouble]:
    before, here = points[i - 1], points[i]
    rise, spread = here.height_mm - before.height_mm, here.half_mm - before.half_mm
    path, line = f"{name}.{i}.height_mm", str(i + 1)
    values: Values = {"line": line, "height_mm": here.height_mm}
    if rise < 0:
        yield Trouble(path, "runs_downwards", {**values, "before_mm": before.height_mm})
    elif math.hypot(rise, spread) < tolerances.SAME_POINT_MM:
        yield Trouble(path, "same_point", {"line": line})
    elif rise < tolerances.SAME_POINT_MM:
        if name == "side_profile":
            yield Trouble(path, "must_rise", values)
        elif here.height_mm < tolerances.SAME_POINT_MM:
            yield Trouble(path, "flat_on_table", {"line": line})
        elif i == len(points) - 1 and spread > 0:
            yield Trouble(path, "flat_rim", {"line": line})


def _side_troubles(front: Sequence[Point], side: Sequence[Point]) -> Iterator[Trouble]:
    front_mm, side_mm = front[-1].height_mm, side[-1].height_mm
    if abs(front_mm - side_mm) > tolerances.SAME_TOP_MM:
        path = f"side_profile.{len(side) - 1}.height_mm"
        yield Trouble(path, "tops_differ", {"side_mm": side_mm, "front_mm": front_mm})


def _choice_troubles(inputs: PlanInputs) -> Iterator[Trouble]:
    if inputs.drawn_as not in ("wet", "fired"):
        yield Trouble("drawn_as", "unknown_drawn_as")
    yield from _outline_troubles("outline", inputs.outline)
    if inputs.rim_outline is not None:
        yield from _outline_troubles("rim_outline", inputs.rim_outline)


def _outline_troubles(name: str, outline: Outline) -> Iterator[Trouble]:
    if outline.shape not in get_args(Shape):
        yield Trouble(f"{name}.shape", "unknown_outline")
    if outline.shape == "traced":
        yield from traced_troubles(f"{name}.points", outline.points)
        return
    least, most = tolerances.LEAST_DEPTH_RATIO, tolerances.MOST_DEPTH_RATIO
    if outline.shape == "leaf":
        most = 1.0  # a deeper lens is wider than its tips are apart
    if not least <= outline.depth_ratio <= most:
        yield Trouble(f"{name}.depth_ratio", "depth_ratio", {"least": least, "most": most})
    if not 0 <= outline.corner_ratio <= 1:
        yield Trouble(f"{name}.corner_ratio", "corner_ratio")


def _length_troubles(inputs: PlanInputs) -> Iterator[Trouble]:
    wall = "wall_mm.base", "wall_mm.rim"
    thicknesses = (
        (wall[0], inputs.wall.base_mm),
        (wall[1], inputs.wall.rim_mm),
        ("base_mm", inputs.base_mm),
    )
    for path, value in thicknesses:
        yield from _positive(path, value)
    wrong = list(_number("corner_coil_mm", inputs.corner_coil_mm))
    yield from wrong
    if not wrong and inputs.corner_coil_mm < 0:
        yield Trouble("corner_coil_mm", "negative")
    if inputs.foot_ring is not None:
        for path in ("width_mm", "height_mm"):
            yield from _positive(f"foot_ring.{path}", getattr(inputs.foot_ring, path))
    if not 0 <= inputs.added_g <= tolerances.MOST_ADDED_G:
        values = {"least": "0 g", "most": f"{tolerances.MOST_ADDED_G:.0f} g"}
        yield Trouble("added_g", "out_of_range", values)
    least, most = tolerances.LEAST_LINE_SPACING_MM, tolerances.MOST_LENGTH_MM
    if not least <= inputs.line_spacing_mm <= most:
        values = {"least": f"{least:g} mm", "most": f"{most:g} mm"}
        yield Trouble("line_spacing_mm", "out_of_range", values)


def _positive(path: str, value: float) -> Iterator[Trouble]:
    wrong = list(_number(path, value))
    yield from wrong
    if not wrong and value <= 0:
        yield Trouble(path, "must_be_positive")


def _body_troubles(body: Body) -> list[Trouble]:
    """Bounds wide enough for every clay body: paper clay to grogged sculpture clay."""
    found = [
        *_range("body.wet_density_g_per_cm3", body.wet_density_g_per_cm3, 1, 3),
        *_range("body.water_pct_wet_basis", body.water_pct_wet_basis, 0, 60),
        *_range("body.drying_shrinkage_pct", body.drying_shrinkage_pct, 0, 30),
        *_range("body.total_shrinkage_pct", body.total_shrinkage_pct, 0, 40),
        *_range("body.loss_on_ignition_pct", body.loss_on_ignition_pct, 0, 50),
    ]
    if not found and body.total_shrinkage_pct < body.drying_shrinkage_pct:
        values = {"drying_pct": body.drying_shrinkage_pct}
        found.append(Trouble("body.total_shrinkage_pct", "shrinks_less_fired", values))
    return found


def _range(path: str, value: float, least: float, most: float) -> Iterator[Trouble]:
    if not least <= value <= most:  # also when it is not a number
        yield Trouble(path, "out_of_range", {"least": least, "most": most})
