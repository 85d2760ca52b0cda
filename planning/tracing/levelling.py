"""A photograph laid level: first by its scale, then by the drawing's own height lines."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from .arrays import Gray
from .ink import ink_of
from .lattice import Lattice, Lines, blocks_of, found_lattice, lines_on, slope_of_lines
from .plane import Plane
from .reasons import Untrusted
from .refining import refined
from .scales import Start
from .view import MOST_PX, PX_PER_MM, Box, photo_on_paper, viewed

_COARSE: Final = 1.0
_REACHES_MM: Final = (4.0, 1.5, 1.2)
_LEAST_LINES: Final = 3
_MOST_OFF: Final = 0.0125


@dataclass(frozen=True)
class Levelled:
    """The plane whose x runs along the height lines; line `number` is at y = number × spacing."""

    plane: Plane
    lines: Lines
    spacing_mm: float
    lines_off_mm: float
    factor: float


def levelled(photo: Gray, paper: Gray, start: Start, spacing_mm: float | None) -> Levelled:
    """Raises Untrusted where the height lines aren't found or contradict the scale."""
    plane = _along_lines(photo, paper, start.plane)
    lattice: Lattice | None = None
    result: Levelled | None = None
    for reach in _REACHES_MM:
        view = viewed(photo, paper, plane, _whole(plane))
        blocks = blocks_of(ink_of(view), view)
        if lattice is None:
            lattice = found_lattice(blocks, view, spacing_mm)
            if lattice is None:
                raise Untrusted("no_height_lines")
            if abs(lattice.apart_mm / lattice.spacing_mm - 1) > 2 * _MOST_OFF and not start.rough:
                raise Untrusted(
                    "scale_disagrees",
                    measured_mm=lattice.apart_mm,
                    spacing_mm=lattice.spacing_mm,
                )
            apart, first = lattice.apart_mm, lattice.first_mm
        else:
            apart, first = lattice.spacing_mm, 0.0
        lines = lines_on(blocks, view, apart, first, min(reach, 0.3 * apart))
        if len(lines.numbers) < _LEAST_LINES:
            raise Untrusted("no_height_lines")
        better = refined(
            plane, start.scale, plane.to_photo(lines.places), lines, lattice.spacing_mm
        )
        plane = better.plane
        result = Levelled(plane, lines, lattice.spacing_mm, better.lines_mm, better.factor)
    assert result is not None  # noqa: S101 -- there are reaches
    _agree(result)
    return result


def _agree(result: Levelled) -> None:
    if abs(result.factor - 1) > _MOST_OFF:
        raise Untrusted(
            "scale_disagrees",
            measured_mm=result.spacing_mm / result.factor,
            spacing_mm=result.spacing_mm,
        )


def _along_lines(photo: Gray, paper: Gray, plane: Plane) -> Plane:
    view = viewed(photo, paper, plane, _whole(plane), _COARSE)
    turn = np.radians(slope_of_lines(ink_of(view)))
    cos, sin = np.cos(turn), np.sin(turn)
    return plane.turned(np.array(((cos, -sin, 0), (sin, cos, 0), (0, 0, 1))))


def _whole(plane: Plane) -> Box:
    box = photo_on_paper(plane)
    if (box.right - box.left) * (box.bottom - box.top) * PX_PER_MM**2 > MOST_PX:
        raise Untrusted("too_small")
    return box
