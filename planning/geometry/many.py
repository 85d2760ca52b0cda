"""The clay of many round forms in one call of arrays: for studies, and for imports of many plans.

By the definitions of `volume` and `offset`, on the same curves: a place of the outside is mapped
inward along its normal, turned by the taper, and ∫ π r² dz along the mapped curve is the hollow,
cut at the base's thickness and at the rim; where the curve ends short of them, the ball round the
wall's edge bounds it. With θ the slope of the meridian to the level, t the thickness, k its taper
and sin α = k sin θ, the place (R, z) is mapped to (R - t sin(θ + α), z + t cos(θ + α)). Where that
doesn't run upwards throughout, or touches the axis, the form is computed alone by `volumes`.

>>> many(profiles, np.array([[8.0, 6.0]]), np.array([10.0]), np.array([0.0])).wall_mm3
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.polynomial.legendre import leggauss
from numpy.typing import NDArray

from .inputs import Wall
from .profile import Floats, powers, steady_slopes
from .surface import surface_in_proportion
from .volume import volumes

Indices = NDArray[np.intp]

STATIONS = 192
"""Places along a meridian, shared out evenly to the pieces between its points."""

LEAST_STATIONS = 4
"""In each piece."""

SEARCHED = 4
"""Places of each piece between which floor and rim are looked for."""

STEPS = 4
"""Of Newton's method from there: exact to rounding on all but sharp bends."""

AT_ONCE = 50_000
"""Places of one array, 0.4 MB: the few that are used at a time stay near the processor."""


@dataclass(frozen=True)
class ManyVolumes:
    """Arrays (n,), mm³. `alone`: which forms were computed one by one."""

    wall_mm3: Floats
    base_mm3: Floats
    corner_mm3: Floats
    capacity_mm3: Floats
    alone: NDArray[np.bool_]


def many(profiles: Floats, wall_mm: Floats, base_mm: Floats, corner_coil_mm: Floats) -> ManyVolumes:
    """Of wet profiles (n, m, 2) of half-width and height, walls (n, 2) at table and rim, base
    thicknesses and corner coils (n,); one row of the last three stands for all.

    Raises `ValueError` for other shapes and for what isn't a profile. Nothing else is refused: the
    capacity of a form that its wall fills is 0.
    """
    count = len(profiles)
    walls = np.broadcast_to(wall_mm, (count, 2))
    base, coil = np.broadcast_to(base_mm, count), np.broadcast_to(corner_coil_mm, count)
    _refuse(profiles, walls, base)
    pieces = profiles.shape[1] - 1
    nodes = max(LEAST_STATIONS, -(-STATIONS // pieces))
    chunk = max(AT_ONCE // (pieces * nodes), 1)
    body, below, capacity, floor = np.concatenate(
        [
            _some(_meridians(profiles[some], walls[some]), base[some], nodes)
            for some in (slice(i, i + chunk) for i in range(0, count, chunk))
        ],
        axis=1,
    )
    corner = np.pi / 4 * coil**2 * 2 * np.pi * floor
    wall = body - below - capacity
    alone = np.isnan(capacity)
    for i in np.flatnonzero(alone):
        surface = surface_in_proportion(profiles[i], 1.0)
        one = volumes(surface, Wall(*walls[i].tolist()), float(base[i]), float(coil[i]))
        wall[i], below[i], corner[i] = one.wall, one.base, one.corner
        capacity[i] = one.hollow.volume
    return ManyVolumes(wall, below, corner, capacity, alone)


def _refuse(profiles: Floats, walls: Floats, base: Floats) -> None:
    if profiles.ndim != 3 or profiles.shape[1] < 2 or profiles.shape[2] != 2:  # noqa: PLR2004
        msg = "Profiles are an array (n, m, 2) of half-widths and heights, m being 2 or more."
        raise ValueError(msg)
    half, height = np.moveaxis(profiles, -1, 0)
    step = np.diff(profiles, axis=1)
    wide = (half[:, :-1] > 0).all() and (half[:, -1] >= 0).all()
    rises = (height[:, 0] == 0).all() and (step[..., 1] >= 0).all() and step.any(axis=2).all()
    if not (wide and rises):
        msg = "Profiles rise from height 0 and keep off the axis, but for the end of a closed one."
        raise ValueError(msg)
    if not ((walls > 0).all() and (base > 0).all() and (base < height[:, -1]).all()):
        msg = "Walls and bases are thicker than 0, and bases thinner than the pot is high."
        raise ValueError(msg)


@dataclass(frozen=True)
class _Meridians:
    """Many meridians in pieces: `powers` (4, 2, n, pieces) of their cubics, highest first, `steps`
    (n, pieces); and (n,) half-widths at table and rim, heights, thicknesses at table and rim."""

    powers: Floats
    steps: Floats
    edges: tuple[Floats, Floats]
    height: Floats
    thick: tuple[Floats, Floats]

    def outside(self, u: Floats, piece: Indices | None = None) -> tuple[Floats, ...]:
        """Half-width, height and their slopes and turns at `u` within the pieces, (n, pieces,
        nodes), or at one place each (n,) on the given `piece`."""
        if piece is None:
            c3, c2, c1, c0 = self.powers[..., np.newaxis]
        else:
            c3, c2, c1, c0 = self.powers[:, :, np.arange(len(piece)), piece]
        place, slope = ((c3 * u + c2) * u + c1) * u + c0, (3 * c3 * u + 2 * c2) * u + c1
        return *place, *slope, *(6 * c3 * u + 2 * c2)

    def inside(self, u: Floats, piece: Indices | None = None) -> tuple[Floats, Floats, Floats]:
        """Half-width, height and growth of the height of the mapped places."""
        half, height, across, rise, across_turn, rise_turn = self.outside(u, piece)
        foot, taper = self.thick[0], (self.thick[1] - self.thick[0]) / self.height
        if u.ndim > 1:
            foot, taper = (each[:, np.newaxis, np.newaxis] for each in (foot, taper))
        squared = across**2 + rise**2
        speed = np.sqrt(squared)
        cos, sin = across / speed, rise / speed
        turn = (across * rise_turn - rise * across_turn) / squared
        lean = taper * sin
        room = np.sqrt(1 - lean**2)
        up, aside = room * cos - lean * sin, room * sin + lean * cos
        thick = foot + taper * height
        grows = rise * (1 + taper * up) - thick * aside * turn * (1 + taper * cos / room)
        return half - thick * aside, height + thick * up, grows

    def rising(self, u: Floats, piece: Indices) -> tuple[Floats, Floats]:
        """Height of the outside and its growth."""
        _, height, _, rise, _, _ = self.outside(u, piece)
        return height, rise

    def up_to(self, piece: Indices, u: Floats) -> Floats:
        """How far in each piece (n, pieces) a place lies: all of those before its own."""
        count = np.arange(self.steps.shape[1])
        own = np.where(count == piece[:, np.newaxis], u[:, np.newaxis], 0.0)
        return np.where(count < piece[:, np.newaxis], self.steps, own)


def _meridians(profiles: Floats, walls: Floats) -> _Meridians:
    chords = np.sqrt((np.diff(profiles, axis=1) ** 2).sum(axis=2))
    knots = np.concatenate((np.zeros((len(chords), 1)), np.cumsum(chords, axis=1)), axis=1)
    cubics = np.stack(powers(knots, profiles, steady_slopes(knots, profiles)))
    half, height = np.moveaxis(profiles, -1, 0)
    return _Meridians(
        np.ascontiguousarray(np.moveaxis(cubics, -1, 1)),
        np.diff(knots),
        (half[:, 0], half[:, -1]),
        height[:, -1],
        (walls[:, 0], walls[:, 1]),
    )


def _some(made: _Meridians, base: Floats, nodes: int) -> Floats:
    """Outer body, base, capacity (NaN where the map is no hollow by itself) and the half-width at
    the floor: (4, n)."""
    shares = np.linspace(0, 1, SEARCHED + 1)
    places = made.steps[..., np.newaxis] * shares
    with np.errstate(invalid="ignore", divide="ignore"):
        mapped = made.inside(places)[1]
        floor_at, rim_at = (
            _place(mapped, made.steps, each, lambda u, piece: made.inside(u, piece)[1:])
            for each in (base, made.height)
        )
        half, grows, capacity = _within(made, made.up_to(*floor_at), made.up_to(*rim_at), nodes)
        lowest, highest = mapped[:, 0, 0], mapped[:, -1, -1]
        balls, floor, rim = _balls(made, base, lowest, highest)
        floor = np.where(lowest > base, floor, made.inside(floor_at[1], floor_at[0])[0])
        narrowest = np.minimum(half.min(axis=(1, 2)), np.minimum(floor, rim))
        upwards = np.minimum(grows.min(axis=(1, 2)), np.diff(mapped).min(axis=(1, 2)))
        whole = (narrowest > 0) & (upwards > 0) & (lowest < made.height) & (highest > base)
    foot_at = _place(made.outside(places)[1], made.steps, base, made.rising)
    return np.stack(
        (
            _body(made, made.steps),
            _body(made, made.up_to(*foot_at)),
            np.where(whole, capacity + balls, np.nan),
            floor,
        )
    )


def _place(
    heights: Floats,
    steps: Floats,
    level: Floats,
    rising: Callable[[Floats, Indices], tuple[Floats, Floats]],
) -> tuple[Indices, Floats]:
    """The piece and the place in it (n,) at which heights, known at evenly spread places
    (n, pieces, SEARCHED + 1), pass a level (n,); the first or last place where they don't.
    `rising` gives height and growth anywhere."""
    row = np.arange(len(level))
    passed = (heights[..., :-1].reshape(len(level), -1) <= level[:, np.newaxis]).sum(axis=1)
    piece, part = np.divmod(np.maximum(passed - 1, 0), SEARCHED)
    width = steps[row, piece] / SEARCHED
    start, end = heights[row, piece, part], heights[row, piece, part + 1]
    u = width * (part + np.clip((level - start) / (end - start), 0, 1))
    for _ in range(STEPS):
        height, growth = rising(u, piece)
        u = np.clip(u + (level - height) / growth, width * part, width * (part + 1))
    return piece, u


def _within(
    made: _Meridians, low: Floats, high: Floats, nodes: int
) -> tuple[Floats, Floats, Floats]:
    """Half-widths and growth of the mapped places between the places `low` and `high` of each
    piece, and ∫ π r² dz (n,) over them."""
    at, weights = leggauss(nodes)
    reach = ((high - low) / 2)[..., np.newaxis]
    half, _, grows = made.inside(low[..., np.newaxis] + reach * (1 + at))
    return half, grows, np.pi * (half**2 * grows * (reach * weights)).sum(axis=(1, 2))


def _balls(
    made: _Meridians, base: Floats, lowest: Floats, highest: Floats
) -> tuple[Floats, Floats, Floats]:
    """Hollow (n,) beside the balls round the wall's edges, below the map's lowest and above its
    highest place, and the half-widths that they leave at the floor and at the rim."""
    (foot, rim), (foot_wall, rim_wall) = made.edges, made.thick
    below = _beside(foot, foot_wall, np.minimum(lowest, made.height))
    below -= _beside(foot, foot_wall, base)
    above = _beside(rim, rim_wall, made.height - np.maximum(highest, base))
    left = np.sqrt(np.maximum(foot_wall**2 - base**2, 0))
    return (
        np.where(lowest > base, below, 0.0) + np.where(highest < made.height, above, 0.0),
        foot - left,
        np.where(highest < made.height, rim - rim_wall, np.inf),
    )


def _beside(half: Floats, ball: Floats, away: Floats) -> Floats:
    """∫ π (R - √(t² - w²))² dw from 0 to `away`, no farther than the ball's radius t."""
    w = np.clip(away, 0, ball)
    root = np.sqrt(ball**2 - w**2)
    disc = w * root + ball**2 * np.arcsin(w / ball)
    return np.asarray(np.pi * ((half**2 + ball**2) * w - w**3 / 3 - half * disc))


def _body(made: _Meridians, high: Floats) -> Floats:
    """∫ π R² dz (n,) of the outside from the table up to the places `high` of the pieces."""
    at, weights = leggauss(5)  # exact for cubics
    reach = (high / 2)[..., np.newaxis]
    half, _, _, rise, _, _ = made.outside(reach * (1 + at))
    return np.asarray(np.pi * (half**2 * rise * (reach * weights)).sum(axis=(1, 2)))
