"""The wall's middle: the surface half its thickness inside, measured along the normal.

Along the meridian it is kept as a table from the floor plane to the rim plane. By Pappus's
theorem the clay of a stretch of wall is its thickness × its length along the middle × the way
round at the middle; what little the wall is more than that (at its round ends, where it is solid,
at tips) is shared out evenly, so that the table adds up to the wall exactly.

A ring's parallel curve is shorter by distance × turning, and at a corner, where two straight
sides are shortened until they meet, by distance × 2 tan(turn / 2).
"""

from dataclasses import dataclass, replace

import numpy as np

from planning.geometry.form import Form
from planning.geometry.hollow import Hollow
from planning.geometry.inputs import Wall
from planning.geometry.offset import thickness
from planning.geometry.profile import Floats
from planning.geometry.rings import Rings
from planning.geometry.section import ellipse_perimeter
from planning.geometry.shell import leanings, shell
from planning.geometry.surface import Surface
from planning.geometry.tolerances import DIRECTIONS, NO_WIDTH_MM, STATIONS

LEVEL_TO = 1.73
"""Tangent of 60°: a row's edge is level up to that lean, on flatter shoulders it stays within so
many half walls of the point square to the middle."""

ROUND_END = np.pi / 4
"""A flat wall's end is round, a quarter disc: as much as so many thicknesses of straight wall."""


@dataclass(frozen=True)
class Stretch:
    """A piece of a pot's wall: from the level of its floor to the rim, its clay in mm³, the
    hollow above that level."""

    surface: Surface
    wall: Wall
    floor_mm: float
    clay_mm3: float
    hollow: Hollow


def whole_wall(made: Form) -> Stretch:
    """The wall of a form, which stands on the base."""
    built = made.volumes
    return Stretch(made.surface, made.wall, made.base_mm, built.wall, built.hollow)


@dataclass(frozen=True)
class Middle:
    """The middle of a stretch at stations (m,) from floor to rim.

    `slant_mm`: length along the middle, the mean all round; `height_mm`: of the middle itself;
    `outer_s`: the outer surface's parameter opposite, along the normal; `perimeter_mm` and
    `outer_perimeter_mm`: the way round; `wall_mm`: thickness. `fill` is clay ÷ (thickness × slant
    × perimeter): 1 but for the ends.
    """

    slant_mm: Floats
    height_mm: Floats
    outer_s: Floats
    perimeter_mm: Floats
    outer_perimeter_mm: Floats
    wall_mm: Floats
    fill: float = 1.0

    @property
    def section_below(self) -> Floats:
        """Area (m,) of the wall cut along the meridian, from the floor up to each station."""
        return _running(self.wall_mm, self.slant_mm) * self.fill

    @property
    def clay_below(self) -> Floats:
        """Clay (m,) from the floor up to each station, mm³."""
        return _running(self.perimeter_mm, self.section_below)


@dataclass(frozen=True)
class _Ring:
    """The outer wall all round at stations, by nodes (n, m).

    `share` of the perimeter; `bite`: by how much a curve one millimetre inside is shorter there;
    `spread` (n, m) and `rise` (m,) of the wall with the meridian's parameter; `perimeter` (m,).
    """

    share: Floats
    bite: Floats
    spread: Floats
    rise: Floats
    perimeter: Floats


def middle(stretch: Stretch) -> Middle:
    surface = stretch.surface
    s = surface.curve.stations(STATIONS)
    ring = _directed(_ring(surface, s))
    height = surface.curve.at(s)[2]
    wall = thickness(surface, stretch.wall, height)
    steep = np.hypot(ring.spread, ring.rise)
    steep = np.divide(1.0, steep, out=np.zeros_like(steep), where=steep > 0)
    aside, up = wall / 2 * ring.rise * steep, wall / 2 * ring.spread * steep
    perimeter = ring.perimeter - (ring.bite * aside).sum(axis=0)
    table = np.stack(
        (
            _slants(ring, s, aside, height + up),
            np.maximum.accumulate((ring.share * (height + up)).sum(axis=0)),
            s,
            np.maximum(perimeter, ring.perimeter / 2),
            ring.perimeter,
            wall,
        )
    )
    climb = (ring.share * (ring.rise * steep)).sum(axis=0)
    return _between(table, climb, stretch)


def _slants(ring: _Ring, s: Floats, aside: Floats, level: Floats) -> Floats:
    """Length along the middle (m,), that lies `aside` of the outside and at `level` (n, m)."""
    spread, rise = ring.spread[:, 1:] + ring.spread[:, :-1], ring.rise[1:] + ring.rise[:-1]
    out, upwards = spread / 2 * np.diff(s) - np.diff(aside), np.diff(level)
    # Behind a sharp edge the middle runs back; it is two stretches that end where they cross.
    onwards = np.where(out * spread + upwards * rise < 0, -1, 1)
    share = (ring.share[:, 1:] + ring.share[:, :-1]) / 2
    pieces = (onwards * np.hypot(out, upwards) * share).sum(axis=0)
    return np.maximum.accumulate(np.append(0.0, np.cumsum(pieces)))


def _ring(surface: Surface, s: Floats) -> _Ring:
    if surface.rings is not None:
        return _drawn_ring(surface, surface.rings, s)
    front, depth, _ = surface.curve.at(s)
    front_slope, depth_slope, rise = surface.curve.slopes_at(s)
    perimeter = ellipse_perimeter(front, depth)
    if surface.is_round:
        one = np.ones((1, len(s)))
        return _Ring(one, 2 * np.pi * one, front_slope[np.newaxis], rise, perimeter)
    turn = np.linspace(0, np.pi / 2, DIRECTIONS + 1)[:, np.newaxis]
    cos, sin = np.cos(turn), np.sin(turn)
    closing = np.maximum(front, depth) < NO_WIDTH_MM
    wide = np.where(closing, np.maximum(np.abs(front_slope), NO_WIDTH_MM), front)
    deep = np.where(closing, np.maximum(np.abs(depth_slope), NO_WIDTH_MM), depth)
    run = np.hypot(wide * sin, deep * cos)
    spread = (front_slope * deep * cos**2 + depth_slope * wide * sin**2) / run
    # One quarter stands for the four; its end nodes count half.
    turns = _shortening(np.diff(np.arctan2(wide * sin, deep * cos), axis=0))
    ends = np.zeros_like(turns[:1])
    bite = 2 * (np.concatenate((ends, turns)) + np.concatenate((turns, ends)))
    run[[0, -1]] /= 2
    return _Ring(run / run.sum(axis=0), bite, spread, rise, perimeter)


def _drawn_ring(surface: Surface, rings: Rings, s: Floats) -> _Ring:
    outer = shell(surface, rings, s)
    spread, rise = leanings(surface, rings, s, outer)
    run = outer.run * rings.weights[:, np.newaxis]
    perimeter = run.sum(axis=0)
    run[:, perimeter < NO_WIDTH_MM] = rings.weights[:, np.newaxis]
    heading = np.arctan2(outer.normal[1], outer.normal[0])
    turns = _shortening(np.diff(heading, axis=0, append=heading[:1]))
    bite = (turns + np.roll(turns, 1, axis=0)) / 2
    return _Ring(run / run.sum(axis=0), bite, spread, rise, perimeter)


def _directed(ring: _Ring) -> _Ring:
    """With the direction of the station before where the curve stands still, at a sharp edge."""
    still = np.hypot(ring.spread, ring.rise).max(axis=0) < NO_WIDTH_MM
    if not still.any():
        return ring
    before = np.maximum.accumulate(np.where(still, 0, np.arange(len(still))))
    return replace(ring, spread=ring.spread[:, before], rise=ring.rise[before])


def _shortening(turn: Floats) -> Floats:
    """By how much a curve is shorter one millimetre inside of turns (radians)."""
    turn = np.remainder(turn + np.pi, 2 * np.pi) - np.pi
    return np.where(turn > 0, 2 * np.tan(np.minimum(turn, 3.0) / 2), turn)


def _between(table: Floats, climb: Floats, stretch: Stretch) -> Middle:
    """The part of the table between floor and rim, lengthened straight on where the middle of
    a leaning wall ends short of them."""
    floor, rim = stretch.floor_mm, stretch.surface.height
    slant, level, around, wall = table[0], table[1], table[4], table[5]
    if around[-1] < NO_WIDTH_MM:  # a closed top
        level[-1] = rim
    if level[0] > floor:
        length = min((level[0] - floor) / max(climb[0], 1e-9), ROUND_END * wall[0])
        table = np.concatenate((_on(table, 0, 1, -length, floor)[:, np.newaxis], table), axis=1)
    if level[-1] < rim:
        length = min((rim - level[-1]) / max(climb[-1], 1e-9), ROUND_END * wall[-1])
        table = np.concatenate((table, _on(table, -1, -2, length, rim)[:, np.newaxis]), axis=1)
    slant, level = table[:2]
    ends = np.interp([floor, rim], level, slant)
    inner = (slant > ends[0]) & (slant < ends[1])
    places = np.concatenate((ends[:1], slant[inner], ends[1:]))
    cut = np.stack([np.interp(places, slant, column) for column in table])
    cut[1, [0, -1]] = floor, rim
    cut[0] -= ends[0]
    straight = Middle(*cut)
    return replace(straight, fill=stretch.clay_mm3 / float(straight.clay_below[-1]))


def _on(table: Floats, end: int, before: int, length: float, level: float) -> Floats:
    """The row of the table `length` of slant beyond an end, the perimeters straight on."""
    slant = table[0]
    gap = slant[end] - slant[before]
    rate = (table[:, end] - table[:, before]) / gap if gap else np.zeros(len(table))
    on = table[:, end] + rate * length
    on[1], on[5] = level, table[5, end]
    on[3:5] = np.maximum(on[3:5], 0)
    return np.asarray(on)


def _running(rate: Floats, along: Floats) -> Floats:
    """∫ rate d(along) from the first to each place (m,)."""
    return np.append(0.0, np.cumsum((rate[1:] + rate[:-1]) / 2 * np.diff(along)))


def outer_edges(stretch: Stretch, laid: Middle, slants: Floats) -> Floats:
    """Parameters (k,) of the outer surface where row edges stand whose middles lie at `slants`.

    The edge is level, as clay is trimmed and measured; where the wall lies too flat for that it
    is kept near the point square to the middle. Of three rising curves the middle one rises.
    """
    level = stretch.surface.parameters_at(np.interp(slants, laid.slant_mm, laid.height_mm))
    square = np.interp(slants, laid.slant_mm, laid.outer_s)
    most = LEVEL_TO / 2 * np.interp(slants, laid.slant_mm, laid.wall_mm)
    edges = np.clip(level, square - most, square + most)
    return np.asarray(np.clip(edges, 0, stretch.surface.curve.length))
