"""Volumes of the clay: outer body, hollow, base, wall and corner coil, by the exact definitions.

The outer body is everything inside the outer surface from the table to the rim plane; the
hollow lies above the base thickness, below the rim plane and at least the wall thickness from
the outer wall; the base is the outer body below the base thickness, the wall the rest.
"""

from dataclasses import dataclass

import numpy as np

from .inputs import Wall
from .offset import Hollow, hollow
from .profile import Floats
from .surface import HEIGHT, Surface
from .tolerances import DIRECTIONS, STATIONS

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(5)


@dataclass(frozen=True)
class Volumes:
    """mm³ and mm²; `hollow` is the cavity in sections, `tip_deg` see `tipping_angle`."""

    outer: float
    base: float
    corner: float
    hollow: Hollow
    outer_area: float
    tip_deg: float

    @property
    def wall(self) -> float:
        return self.outer - self.base - self.hollow.volume

    @property
    def total(self) -> float:
        return self.wall + self.base + self.corner


def volumes(surface: Surface, wall: Wall, base_mm: float, corner_coil_mm: float) -> Volumes:
    """All volumes of one pot."""
    end = surface.curve.length
    outer, moment = body_moments(surface, end)
    base = body_moments(surface, float(surface.parameters_at(np.array([base_mm]))[0]))[0]
    inside = hollow(surface, wall, base_mm)
    centre = (moment - inside.moment) / (outer - inside.volume)
    return Volumes(
        outer=outer,
        base=base,
        corner=np.pi * corner_coil_mm**2 / 4 * inside.floor_perimeter,
        hollow=inside,
        outer_area=outer_area(surface),
        tip_deg=tipping_angle(surface, centre),
    )


def _quadrature(surface: Surface, end: float) -> tuple[Floats, Floats]:
    """Gauss-Legendre parameters and weights from 0 to `end`, five in each panel: exact for the
    polynomials of degree 8 that the volume between two knots is made of."""
    edge = np.minimum(surface.curve.stations(STATIONS), end)
    half = np.diff(edge)[:, np.newaxis] / 2
    middle = edge[:-1, np.newaxis] + half
    return (middle + half * _NODES).ravel(), (half * _WEIGHTS).ravel()


def body_moments(surface: Surface, end: float) -> tuple[float, float]:
    """∫ dV and ∫ z dV of the outer body up to the parameter `end` (mm³, mm⁴)."""
    s, weights = _quadrature(surface, end)
    front, depth, height = surface.curve.at(s)
    slice_volume = weights * np.pi * front * depth * surface.curve.slopes_at(s)[HEIGHT]
    return float(slice_volume.sum()), float(slice_volume @ height)


def outer_area(surface: Surface) -> float:
    """Area of the outer wall from table to rim, without the underside (mm²)."""
    s, weights = _quadrature(surface, surface.curve.length)
    front, depth, _ = surface.curve.at(s)
    front_slope, depth_slope, rise = surface.curve.slopes_at(s)
    if surface.is_round:
        return float(weights @ (2 * np.pi * front * np.hypot(front_slope, rise)))
    turn = np.linspace(0, np.pi / 2, 2 * DIRECTIONS + 1)[:, np.newaxis]
    cos, sin = np.cos(turn), np.sin(turn)
    upright = rise**2 * ((depth * cos) ** 2 + (front * sin) ** 2)
    leaning = (front_slope * depth * cos**2 + depth_slope * front * sin**2) ** 2
    return float(4 * np.trapezoid(np.sqrt(upright + leaning), turn, axis=0) @ weights)


def tipping_angle(surface: Surface, centre_mm: float) -> float:
    """How far the pot leans before it tips over the foot's nearer edge, degrees."""
    foot = surface.curve.at(np.zeros(1))[:HEIGHT, 0].min()
    return float(np.degrees(np.arctan2(foot, centre_mm)))
