"""A pot under way judged by what it is to become: by its plan, and from where its builder carried
on with consent by the outline that was agreed on."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from planning.geometry.form import Form
from planning.geometry.surface import FRONT
from planning.rows.carrying_on import Standing, rest_of_wall
from planning.rows.sentences import Trouble

from .checking import BuildCheck, Tolerance, build_check
from .measured import Compared, Measured, compared
from .sentences import MeasuredRefused

VERSION = "check-1"
"""Changes whenever the same measurements may get another answer; stored with a check."""

Sample = tuple[float, float, float]


@dataclass(frozen=True)
class Onward:
    """The form with the outline that was agreed on; it holds above `from_mm`."""

    made: Form
    from_mm: float


@dataclass(frozen=True)
class Judged:
    """A measurement with its answer; `planned` has the wet sizes that it was compared with,
    `width_mm` is the width that a picture from the front shows."""

    measured: Measured
    check: BuildCheck
    planned: dict[str, float]
    width_mm: float


def onward(made: Form, standing: Standing) -> Onward:
    """The form from the measured edge on, or `RowsRefused`."""
    rest = rest_of_wall(made, standing)
    return Onward(replace(made, surface=rest.surface), standing.height_mm)


def onward_outline(silhouette: Sequence[Sample], made: Form, way: Onward) -> list[Sample]:
    """What the plan's silhouette becomes from the edge on: (height, left, right) from there to the
    rim, left and right in the plan's proportion."""
    heights = np.array([sample[0] for sample in silhouette])
    above = [way.from_mm, *(h for h in heights.tolist() if h > way.from_mm)]
    at = np.array(above)
    before, after = (
        each.curve.at(each.parameters_at(at))[FRONT] for each in (made.surface, way.made.surface)
    )
    by = after / np.where(before > 0, before, 1.0)
    left, right = (
        by * np.interp(at, heights, [sample[side] for sample in silhouette]) for side in (1, 2)
    )
    return [
        (h, each, other)
        for h, each, other in zip(above, left.tolist(), right.tolist(), strict=True)
    ]


def judged(
    made: Form,
    drying_shrinkage_pct: float,
    measured: Sequence[Measured],
    tolerance: Tolerance,
    way: Onward | None = None,
) -> tuple[Judged, ...]:
    """Each measurement in the order given, or `MeasuredRefused` with all that can't be judged.

    At and below the edge of `way` the plan counts; a place there is soft only where nothing above
    it has stiffened.
    """
    edge = way.from_mm if way is not None else np.inf
    above = [i for i, each in enumerate(measured) if each.height_mm > edge]
    below = [i for i in range(len(measured)) if i not in above]
    firm = any(measured[i].state == "stiff" for i in above)
    parts = [(made, [(i, _firmed(measured[i], firm=firm)) for i in below])]
    if way is not None:
        parts.append((way.made, [(i, measured[i]) for i in above]))
    found: dict[int, Judged] = {}
    troubles: list[Trouble] = []
    for form, part in parts:
        try:
            found |= _judged(form, drying_shrinkage_pct, part, tolerance)
        except MeasuredRefused as refused:
            troubles += [_at_its_place(each, [i for i, _ in part]) for each in refused.problems]
    if troubles:
        raise MeasuredRefused(troubles)
    return tuple(found[i] for i in range(len(measured)))


def _judged(
    made: Form, drying_pct: float, part: Sequence[tuple[int, Measured]], tolerance: Tolerance
) -> dict[int, Judged]:
    measured = [each for _, each in part]
    checks = build_check(made, drying_pct, measured, tolerance)
    beside = compared(made, measured, tolerance.mm)
    return {
        i: Judged(each, check, other.planned, _width_mm(other))
        for (i, each), check, other in zip(part, checks, beside, strict=True)
    }


def _firmed(each: Measured, *, firm: bool) -> Measured:
    return replace(each, state="stiff") if firm and each.state == "soft" else each


def _width_mm(beside: Compared) -> float:
    """The width as measured, else as the way round or the depth means it."""
    order = ("front_mm", "perimeter_mm", "depth_mm")
    size, planned = next(beside.widths[name] for name in order if name in beside.widths)
    return size / planned * beside.planned["front_mm"]


def _at_its_place(trouble: Trouble, places: Sequence[int]) -> Trouble:
    """The same trouble at the place that the measurement has among all."""
    parts = trouble.path.split(".")
    if len(parts) > 1 and parts[0] == "measured":
        parts[1] = str(places[int(parts[1])])
    return replace(trouble, path=".".join(parts))
