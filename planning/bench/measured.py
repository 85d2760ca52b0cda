"""What was measured on the pot, and why some of it can't be."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from planning.geometry.form import Form
from planning.geometry.offset import thickness
from planning.geometry.surface import Surface
from planning.rows.way_round import way_round

from .sentences import MeasuredRefused, Trouble

STATES = ("soft", "stiff")
MOST_MEASURED = 200
MOST_MM = {"height_mm": 2000.0, "front_mm": 2000.0, "depth_mm": 2000.0, "perimeter_mm": 7000.0}

UNLIKELY_TIMES, UNLIKELY_PART, UNLIKELY_MM = 2.5, 0.4, 50.0
"""Beyond so many times (or below this part of) the plan's size, and by more than that, the unit or
the height is wrong: no pot is built so far past its drawing."""


@dataclass(frozen=True)
class Measured:
    """One place on the pot: its height above the table, the wall soft or stiff there, and the
    width, the depth, the way round, or several of them."""

    height_mm: float
    state: str
    front_mm: float | None = None
    depth_mm: float | None = None
    perimeter_mm: float | None = None

    @property
    def sizes(self) -> dict[str, float]:
        """What was measured besides the height, by its name."""
        names = ("front_mm", "depth_mm", "perimeter_mm")
        return {name: size for name in names if (size := getattr(self, name)) is not None}


@dataclass(frozen=True)
class Compared:
    """A measurement beside the plan's wet sizes there, by name; `s` is the plan's parameter and
    `around_mm` the measured way round by the real outline."""

    measured: Measured
    s: float
    planned: dict[str, float]
    around_mm: float

    @property
    def excess_mm(self) -> float:
        """How much longer the way round is than planned."""
        return self.around_mm - self.planned["perimeter_mm"]

    @property
    def excess_share(self) -> float:
        return self.excess_mm / self.planned["perimeter_mm"]

    @property
    def widths(self) -> dict[str, tuple[float, float]]:
        """Measured and planned by name; a way round as the width that it means."""
        pairs = {name: (size, self.planned[name]) for name, size in self.measured.sizes.items()}
        if "perimeter_mm" in pairs:
            size, planned = pairs["perimeter_mm"]
            front = self.planned["front_mm"]
            pairs["perimeter_mm"] = (size / planned * front, front)
        return pairs


def compared(made: Form, measured: Sequence[Measured], above_rim_mm: float) -> list[Compared]:
    """Each measurement beside the plan, or `MeasuredRefused` with all that can't be so."""
    found = list(_troubles(measured))
    if found:
        raise MeasuredRefused(found)
    found = [
        trouble
        for i, each in enumerate(measured)
        for trouble in _beside_plan(made, each, f"measured.{i}", above_rim_mm)
    ]
    if found:
        raise MeasuredRefused(found)
    return [_compared(made.surface, each) for each in measured]


def _compared(surface: Surface, each: Measured) -> Compared:
    s, planned = _planned(surface, each.height_mm)
    ratios = {name: size / planned[name] for name, size in each.sizes.items()}
    around = each.perimeter_mm
    if around is None:
        wider, deeper = ratios.get("front_mm"), ratios.get("depth_mm")
        around = way_round(surface, s, wider or deeper or 1.0, deeper or wider or 1.0)
    return Compared(each, s, planned, around)


def _planned(surface: Surface, height_mm: float) -> tuple[float, dict[str, float]]:
    at = surface.parameters_at(np.array([min(height_mm, surface.height)]))
    front, depth, _ = (2 * surface.curve.at(at)[:, 0]).tolist()
    s = float(at[0])
    return s, {"front_mm": front, "depth_mm": depth, "perimeter_mm": way_round(surface, s)}


def _troubles(measured: Sequence[Measured]) -> Iterator[Trouble]:
    """What the numbers show by themselves."""
    if len(measured) > MOST_MEASURED:
        yield Trouble("too_many", {"most": str(MOST_MEASURED)}, "measured")
    seen: set[float] = set()
    for i, each in enumerate(measured):
        path = f"measured.{i}"
        if each.height_mm <= 0:
            yield Trouble("below_table", path=f"{path}.height_mm")
        if each.height_mm in seen:
            yield Trouble("height_twice", path=f"{path}.height_mm")
        seen.add(each.height_mm)
        if each.state not in STATES:
            yield Trouble("unknown_state", path=f"{path}.state")
        if not each.sizes:
            yield Trouble("no_width", path=f"{path}.front_mm")
        for name, size in {"height_mm": max(each.height_mm, 1.0), **each.sizes}.items():
            if not 1 <= size <= MOST_MM[name]:  # also when it is not a number
                bounds = {"least": "1 mm", "most": f"{MOST_MM[name]:g} mm"}
                yield Trouble("out_of_range", bounds, f"{path}.{name}")


def _beside_plan(made: Form, each: Measured, path: str, above_rim_mm: float) -> Iterator[Trouble]:
    surface = made.surface
    if each.height_mm > surface.height + above_rim_mm:
        values = {"rim_mm": surface.height, "height_mm": each.height_mm}
        yield Trouble("above_rim", values, f"{path}.height_mm")
        return
    _, planned = _planned(surface, each.height_mm)
    walls = 2 * float(thickness(surface, made.wall, np.array([each.height_mm]))[0])
    for name, size in each.sizes.items():
        plan = planned[name]
        if name != "perimeter_mm" and size < walls <= plan:
            values = {"value_mm": size, "least_mm": walls}
            yield Trouble("too_thin", values, f"{path}.{name}")
        elif not UNLIKELY_PART * plan - UNLIKELY_MM <= size <= UNLIKELY_TIMES * plan + UNLIKELY_MM:
            values = {"value_mm": size, "planned_mm": plan}
            yield Trouble("unlikely", values, f"{path}.{name}")
    yield from _round_the_pot(each, f"{path}.perimeter_mm")


def _round_the_pot(each: Measured, path: str) -> Iterator[Trouble]:
    """Any closed way round is at least there and back, at most round the box about it."""
    if each.perimeter_mm is None:
        return
    widths = [size for size in (each.front_mm, each.depth_mm) if size is not None]
    least = 2 * max(widths, default=0.0)
    if each.perimeter_mm < least:
        yield Trouble("way_too_short", {"value_mm": each.perimeter_mm, "least_mm": least}, path)
    most = 2 * sum(widths)
    if len(widths) > 1 and each.perimeter_mm > most:
        yield Trouble("way_too_long", {"value_mm": each.perimeter_mm, "most_mm": most}, path)
