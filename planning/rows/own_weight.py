"""What the wall's own weight asks of whoever builds it, counted in the rows of their plan.

The estimate and its sources are those of `planning.statics`; here its heights become rows, and
the rests that the row list has anyway are taken into account.
"""

from dataclasses import dataclass

import numpy as np

from planning.geometry.form import Form
from planning.geometry.profile import Floats
from planning.statics.building import Edges, growth
from planning.statics.cautions import Caution, Note, advice_in_rows, whole_rows
from planning.statics.midwall import is_shell, mid_wall, specific_weight
from planning.statics.selfweight import Station, self_weight, stations
from planning.statics.strength import SOFT_CLAY, Pause, YieldRange

from .rows import RowList


@dataclass(frozen=True)
class PauseInRows:
    """The last whole row when clay of low, middle and high strength gives way; None where the pot
    is finished before."""

    early: int
    about: int | None
    late: int | None


@dataclass(frozen=True)
class RowCaution:
    """Why and where the soft wall may give way, and what to do about it.

    `pause` is what `advice` says where it speaks of rows; an overhang's says how far rows may
    reach out. From a `severity` of 1 on clay of middle strength gives way.
    """

    cause: Note
    advice: Note
    pause: PauseInRows
    severity: float

    @property
    def message(self) -> str:
        return f"{self.cause.message} {self.advice.message}"


@dataclass(frozen=True)
class OwnWeight:
    """The soft wall by its own weight: an estimate with a range, never a verdict.

    `cautions` are of the wall built at once, the most severe first. `rests`: after which rows the
    wall should stiffen besides the list's own rests; none where those do for clay of middle
    strength. `notes` belong beside all of it. `stations` are the figures behind it, of the whole
    pot standing soft, at the wall's foot and then at the top of every row, in the list's order.
    """

    cautions: tuple[RowCaution, ...]
    rests: tuple[PauseInRows, ...]
    notes: tuple[Note, ...]
    stations: tuple[Station, ...]


def own_weight(
    made: Form,
    listed: RowList,
    wet_density_g_per_cm3: float,
    strength: YieldRange = SOFT_CLAY,
) -> OwnWeight:
    """Of the wall that the rows make up, which stands on its base (or, carried on, on what was
    laid before) as on something stiff. For a form that isn't round it is the round equivalent. A
    lump that is no shell, its wall being as thick as it is wide, has nothing to say, nor has a
    brim of two rows."""
    laid = listed.middle
    if not is_shell(laid.slant_mm, laid.perimeter_mm, laid.wall_mm):
        return OwnWeight((), (), (), ())
    wall = mid_wall(
        laid.slant_mm,
        laid.perimeter_mm,
        laid.height_mm,
        laid.wall_mm,
        is_round=made.surface.is_round,
    )
    slants = [row.slant_mm for row in listed.rows]
    tops = np.interp(slants, laid.slant_mm, laid.height_mm)
    first = listed.rows[0].row
    edges = Edges(tops, tuple(float(tops[rest.after_row - first]) for rest in listed.rests))
    density = {"wet_density_g_per_cm3": wet_density_g_per_cm3}
    growing = growth(wall, specific_weight(wet_density_g_per_cm3), float(wall.height_mm[0]))
    found = self_weight(wall, strength=strength, edges=edges, growing=growing, **density)
    below = first - 1
    return OwnWeight(
        cautions=tuple(_in_rows(each, tops, below) for each in found.cautions),
        rests=tuple(_pause_in_rows(each, tops, below) for each in found.rests),
        notes=found.notes,
        stations=stations(
            wall, heights_mm=np.append(wall.height_mm[0], tops), growing=growing, **density
        ),
    )


def _in_rows(caution: Caution, tops: Floats, below: int) -> RowCaution:
    advice = caution.advice
    if advice.code.startswith("pause"):
        advice = advice_in_rows(caution.pause, tops, below)
    pause = _pause_in_rows(caution.pause, tops, below)
    return RowCaution(caution.cause, advice, pause, caution.severity)


def _pause_in_rows(pause: Pause, tops: Floats, below: int) -> PauseInRows:
    def row(height_mm: float) -> int:
        return below + whole_rows(height_mm, tops)

    return PauseInRows(
        early=row(pause.early_mm),
        about=None if pause.about_mm is None else row(pause.about_mm),
        late=None if pause.late_mm is None else row(pause.late_mm),
    )
