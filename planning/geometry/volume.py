"""Volumes of the clay: outer body, hollow, base, wall, corner coil and foot ring, by the exact
definitions.

The outer body is everything inside the outer surface from the table to the rim plane; the
hollow lies above the base thickness, below the rim plane and at least the wall thickness from
the outer wall; the base is the outer body below the base thickness, the wall the rest.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.polynomial.polynomial import polyval

from .cavity import Walled, ring_hollow
from .foot import foot_volume, footing
from .hollow import Hollow
from .inputs import FootRing, Wall
from .offset import elliptic_hollow
from .outer import outer_perimeters
from .profile import Floats
from .shell import leanings, shell
from .surface import HEIGHT, Surface
from .tolerances import DIRECTIONS, RING_AREA_PANELS, STATIONS

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(5)


@dataclass(frozen=True)
class Volumes:
    """mm³ and mm²; `hollow` is the cavity in sections, `tip_deg` see `tipping_angle`."""

    outer: float
    base: float
    corner: float
    foot: float
    hollow: Hollow
    outer_area: float
    tip_deg: float

    @property
    def wall(self) -> float:
        return self.outer - self.base - self.hollow.volume

    @property
    def total(self) -> float:
        return self.wall + self.base + self.corner + self.foot


def volumes(
    surface: Surface,
    wall: Wall,
    base_mm: float,
    corner_coil_mm: float,
    foot_ring: FootRing | None = None,
) -> Volumes:
    """All volumes of one pot."""
    end = surface.curve.length
    outer, *moments = body_moments(surface, end)
    base = body_moments(surface, float(surface.parameters_at(np.array([base_mm]))[0]))[0]
    inside = hollow(surface, wall, base_mm)
    mass = outer - inside.volume
    middle = np.array(moments) - (*inside.side_moments, inside.moment)
    foot = 0.0
    if foot_ring is not None:
        foot = foot_volume(surface, foot_ring)
        middle[2] += mass * foot_ring.height_mm + foot * foot_ring.height_mm / 2
        mass += foot
    return Volumes(
        outer=outer,
        base=base,
        corner=np.pi * corner_coil_mm**2 / 4 * inside.floor_perimeter,
        foot=foot,
        hollow=inside,
        outer_area=outer_area(surface),
        tip_deg=tipping_angle(surface, middle / mass),
    )


def hollow(surface: Surface, wall: Wall, floor_mm: float) -> Hollow:
    """The hollow above `floor_mm` within a wall that tapers linearly in height."""
    if surface.rings is None:
        return elliptic_hollow(surface, wall, floor_mm)
    return ring_hollow(Walled(surface, surface.rings, wall), floor_mm)


def _quadrature(edge: Floats) -> tuple[Floats, Floats]:
    """Gauss-Legendre parameters and weights, five in each panel between edges (panels + 1,)
    or (2, panels): exact for the polynomials of degree 8 that a volume between two knots is
    made of. (panels, 5)."""
    low, high = (edge[:-1], edge[1:]) if edge.ndim == 1 else edge
    half = ((high - low) / 2)[:, np.newaxis]
    return low[:, np.newaxis] + half * (1 + _NODES), half * _WEIGHTS


def body_moments(surface: Surface, end: float) -> tuple[float, float, float, float]:
    """∫ dV, ∫ x dV, ∫ y dV and ∫ z dV of the outer body up to the parameter `end` (mm³, mm⁴)."""
    s, weights = _quadrature(np.minimum(surface.curve.stations(STATIONS), end))
    slices, *centre = _slices(surface, s)
    slices = slices * weights
    x, y, z = (float((slices * each).sum()) for each in centre)
    return float(slices.sum()), x, y, z


def body_below(surface: Surface, s: Floats) -> Floats:
    """Outer body (mm³) from the table up to parameters `s` (k,)."""
    return _up_to(surface, s, lambda places: _slices(surface, places)[0])


def slant_below(surface: Surface, s: Floats) -> Floats:
    """Length along the wall from the table to parameters `s` (k,), the mean all round: the outer
    area's growth over the section's perimeter, which on a round pot is its meridian."""

    def rate(places: Floats) -> Floats:
        flat = places.ravel()
        return (girths(surface, flat) / outer_perimeters(surface, flat)).reshape(places.shape)

    return _up_to(surface, s, rate)


def _up_to(surface: Surface, s: Floats, rate: Callable[[Floats], Floats]) -> Floats:
    """∫ rate ds from 0 to each of `s` (k,)."""
    edge = surface.curve.stations(STATIONS)
    places, weights = _quadrature(edge)
    below = np.append(0.0, np.cumsum((rate(places) * weights).sum(axis=1)))
    panel = np.clip(np.searchsorted(edge, s) - 1, 0, len(edge) - 2)
    places, weights = _quadrature(np.stack((edge[panel], s)))
    return np.asarray(below[panel] + (rate(places) * weights).sum(axis=1))


def _slices(surface: Surface, s: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Outer volume per length of the parameter, and x, y and z of its centre, at `s`."""
    front, depth, height = surface.curve.at(s)
    box = front * depth * surface.curve.slopes_at(s)[HEIGHT]
    if surface.rings is None:
        axis = np.zeros_like(box)
        return np.pi * box, axis, axis, height
    share = height / surface.height
    (wide, deep), _ = surface.rings.extent.at(share)
    area, aside, back = polyval(share, surface.rings.moments.T)
    scale = (front / wide, depth / deep)
    return box * area / (wide * deep), scale[0] * aside / area, scale[1] * back / area, height


def outer_area(surface: Surface) -> float:
    """Area of the outer wall from table to rim, without the underside (mm²)."""
    edge = surface.curve.thin_stations(STATIONS)
    if surface.rings is not None:
        edge = surface.curve.stations(RING_AREA_PANELS)
        edge = np.append(edge[: -1 : max(len(edge) // (2 * RING_AREA_PANELS), 1)], edge[-1])
    s, weights = _quadrature(edge)
    return float(weights.ravel() @ girths(surface, s.ravel()))


def girths(surface: Surface, s: Floats) -> Floats:
    """Area of the outer wall per length of the meridian's parameter, at parameters `s` (m,)."""
    if surface.rings is not None:
        outer = shell(surface, surface.rings, s)
        slant = np.hypot(*leanings(surface, surface.rings, s, outer))
        return np.asarray(surface.rings.weights @ (outer.run * slant))
    front, depth, _ = surface.curve.at(s)
    front_slope, depth_slope, rise = surface.curve.slopes_at(s)
    if surface.is_round:
        return np.asarray(2 * np.pi * front * np.hypot(front_slope, rise))
    turn = np.linspace(0, np.pi / 2, 2 * DIRECTIONS + 1)[:, np.newaxis]
    cos, sin = np.cos(turn), np.sin(turn)
    upright = rise**2 * ((depth * cos) ** 2 + (front * sin) ** 2)
    leaning = (front_slope * depth * cos**2 + depth_slope * front * sin**2) ** 2
    return np.asarray(4 * np.trapezoid(np.sqrt(upright + leaning), turn, axis=0))


def tipping_angle(surface: Surface, middle: Floats) -> float:
    """How far the pot leans before it tips over the foot's nearest edge, degrees; `middle` (3,)
    is its centre of mass above where it stands."""
    return float(np.degrees(np.arctan2(footing(surface, middle[:2]), middle[2])))
