"""Carry on from here: a new row list for the rest of the wall, from the pot as it stands.

The outside from here on is the plan's with widths and depths multiplied: at the height reached
by measured ÷ planned, at the rim by 1, between by a smooth step, 1 + (ratio - 1)(1 - 3u² + 2u³)
with u from 0 here to 1 at the rim. It leaves the measured edge at the plan's own lean, comes
back to the plan without a kink, ends at the plan's rim, and a pot that measures what is planned
carries on by the plan. Wall and coil stay the plan's.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from planning.geometry.form import Form
from planning.geometry.profile import hermite
from planning.geometry.surface import DEPTH, FRONT, HEIGHT, Surface
from planning.geometry.tolerances import STATIONS
from planning.geometry.volume import body_below, hollow

from .choices import Choices, refuse_unsound
from .middle import Stretch
from .rows import Row, RowList, lay
from .sentences import RowsRefused, Trouble
from .way_round import other_ratio, way_round

LEAST_LEFT_MM = 3.0
"""Less wall than this is trimmed, not built."""

LEAST_RATIO, MOST_RATIO = 0.5, 1.6
"""Outside these the pot is another one than the plan (common practice, no source)."""


@dataclass(frozen=True)
class Standing:
    """The open edge as measured, at its height above the table: width, depth or the way round, or
    two of them. What wasn't measured follows from the way round or is in the plan's proportion."""

    height_mm: float
    front_mm: float | None = None
    depth_mm: float | None = None
    perimeter_mm: float | None = None


def rows_from_here(
    made: Form, choices: Choices, standing: Standing, laid: Sequence[Row]
) -> RowList:
    """Rows from the measured edge to the plan's rim, numbered on from those `laid`, or
    `RowsRefused`. `choices.coil_mm` is best the adjusted coil of the list before."""
    refuse_unsound(choices)
    if not laid:
        raise RowsRefused([Trouble("no_rows_laid", path="laid")])
    return lay(rest_of_wall(made, standing), choices, laid)


def rest_of_wall(made: Form, standing: Standing) -> Stretch:
    """The wall above the measured edge, or `RowsRefused`."""
    floor = standing.height_mm
    if not made.base_mm < floor <= made.surface.height - LEAST_LEFT_MM:
        bounds = {"least_mm": made.base_mm, "most_mm": made.surface.height - LEAST_LEFT_MM}
        raise RowsRefused([Trouble("off_the_wall", bounds, "height_mm")])
    surface = blended(made.surface, floor, *_ratios(made.surface, standing))
    inside = hollow(surface, made.wall, floor)
    ends = np.array([surface.parameters_at(np.array([floor]))[0], surface.curve.length])
    body = np.diff(body_below(surface, ends))[0]
    return Stretch(surface, made.wall, floor, float(body - inside.volume), inside)


def blended(surface: Surface, floor_mm: float, front: float, depth: float) -> Surface:
    """The surface with its width and depth multiplied by these ratios up to `floor_mm` and less
    and less from there to the rim, where they are as planned."""
    knots = surface.curve.stations(4 * STATIONS)
    values, slopes = surface.curve.at(knots), surface.curve.slopes_at(knots)
    room = surface.height - floor_mm
    up = np.clip((values[HEIGHT] - floor_mm) / room, 0, 1)
    share = 1 - up**2 * (3 - 2 * up)
    fall = -6 * up * (1 - up) / room * slopes[HEIGHT]
    for axis, ratio in ((FRONT, front), (DEPTH, depth)):
        factor = 1 + (ratio - 1) * share
        slopes[axis] = slopes[axis] * factor + values[axis] * (ratio - 1) * fall
        values[axis] = values[axis] * factor
    return replace(surface, curve=hermite(knots, values.T, slopes.T))


def _ratios(surface: Surface, standing: Standing) -> tuple[float, float]:
    """Measured ÷ planned, of width and depth."""
    s = float(surface.parameters_at(np.array([standing.height_mm]))[0])
    front, depth, _ = (2 * surface.curve.at(np.array([s]))[:, 0]).tolist()
    around = way_round(surface, s)
    planned = {"front_mm": front, "depth_mm": depth, "perimeter_mm": around}
    measured = {name: value for name in planned if (value := getattr(standing, name)) is not None}
    if not measured:
        raise RowsRefused([Trouble("no_width", path="front_mm")])
    ratios = {name: value / planned[name] for name, value in measured.items()}
    _refuse_far_off(ratios, planned)
    wider, deeper = ratios.get("front_mm"), ratios.get("depth_mm")
    if standing.perimeter_mm is not None and (wider is None) != (deeper is None):
        other = other_ratio(surface, s, standing.perimeter_mm, wider=wider, deeper=deeper)
        name = "front_mm" if wider is None else "depth_mm"
        _refuse_far_off({name: other or 0.0}, planned)
        return wider or other or 0.0, deeper or other or 0.0
    same = ratios.get("perimeter_mm", 1.0)
    return wider or deeper or same, deeper or wider or same


def _refuse_far_off(ratios: Mapping[str, float], planned: Mapping[str, float]) -> None:
    found = [
        Trouble(
            "too_far_off", {"planned_mm": planned[name], "value_mm": ratio * planned[name]}, name
        )
        for name, ratio in ratios.items()
        if not LEAST_RATIO <= ratio <= MOST_RATIO
    ]
    if found:
        raise RowsRefused(found)
