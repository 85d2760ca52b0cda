"""A photograph laid level: first by its scale, then by the drawing's own height lines."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from .arrays import Gray
from .ink import ink_of
from .lattice import Blocks, Lattice, Lines, blocks_of, found_lattice, lines_on, slope_of_lines
from .plane import Plane
from .reasons import Untrusted
from .refining import refined
from .scales import Start
from .view import MOST_PX, PX_PER_MM, Box, View, photo_on_paper, viewed

_COARSE: Final = 1.0
_FIRST_REACH_MM: Final = 4.0
_REACHES_MM: Final = (1.5, 1.2)
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


@dataclass(frozen=True)
class _Seen:
    """The photo as it lies in a plane, and the ink of its strips."""

    plane: Plane
    view: View
    blocks: Blocks


def levelled(photo: Gray, paper: Gray, start: Start, spacing_mm: float | None) -> Levelled:
    """Raises Untrusted where the height lines aren't found or contradict the scale."""
    seen = _seen(photo, paper, _along_lines(photo, paper, start.plane))
    lattice = found_lattice(seen.blocks, seen.view, spacing_mm)
    if lattice is None:
        raise Untrusted("no_height_lines")
    if abs(lattice.apart_mm / lattice.spacing_mm - 1) > 2 * _MOST_OFF and not start.rough:
        raise _disagreement(lattice.apart_mm, lattice.spacing_mm)
    result = _on_lattice(seen, start, lattice, _FIRST_REACH_MM)
    # From here on the plane's own heights are those of the lattice.
    lattice = Lattice(lattice.spacing_mm, lattice.spacing_mm, 0.0)
    for reach_mm in _REACHES_MM:
        result = _on_lattice(_seen(photo, paper, result.plane), start, lattice, reach_mm)
    if abs(result.factor - 1) > _MOST_OFF:
        raise _disagreement(result.spacing_mm / result.factor, result.spacing_mm)
    return result


def _seen(photo: Gray, paper: Gray, plane: Plane) -> _Seen:
    view = viewed(photo, paper, plane, _whole(plane))
    return _Seen(plane, view, blocks_of(ink_of(view), view))


def _on_lattice(seen: _Seen, start: Start, lattice: Lattice, reach_mm: float) -> Levelled:
    """The plane refined by the lines that are found within `reach_mm` of the lattice."""
    reach_mm = min(reach_mm, 0.3 * lattice.apart_mm)
    lines = lines_on(seen.blocks, seen.view, lattice.apart_mm, lattice.first_mm, reach_mm)
    if len(lines.numbers) < _LEAST_LINES:
        raise Untrusted("no_height_lines")
    in_photo = seen.plane.to_photo(lines.places)
    better = refined(seen.plane, start.scale, in_photo, lines, lattice.spacing_mm)
    return Levelled(better.plane, lines, lattice.spacing_mm, better.lines_mm, better.factor)


def _disagreement(measured_mm: float, spacing_mm: float) -> Untrusted:
    return Untrusted("scale_disagrees", measured_mm=measured_mm, spacing_mm=spacing_mm)


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
