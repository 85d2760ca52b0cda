"""A smooth curve through drawn points.

Each coordinate is a cubic Hermite curve over the chord length. The slopes at the points are
those of the cubic spline, held between the two adjoining secants (and to three times the
smaller, Fritsch & Carlson 1980, SIAM J. Numer. Anal. 17(2)): the curve has fourth-order
accuracy where the drawing bends one way, never overshoots a point, and keeps straight what
was drawn straight. A sphere drawn with 10 points encloses 0.011 % too little, with 20 points
0.0003 % (PCHIP: 0.05 and 0.002 %).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.lapack import dgtsv

from .tolerances import MOST_POINTS

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Curve:
    """A piecewise cubic curve of several coordinates over one parameter.

    `knots` (n,) strictly increasing; `coefficients` (4, coordinates, n - 1), highest power first.
    """

    knots: Floats
    coefficients: Floats

    @property
    def length(self) -> float:
        """The last parameter; the first is 0."""
        return float(self.knots[-1])

    def at(self, s: Floats) -> Floats:
        """Coordinates at parameters `s`: (coordinates, *s.shape)."""
        (c3, c2, c1, c0), u = self._piece(s)
        return np.asarray(((c3 * u + c2) * u + c1) * u + c0)

    def slopes_at(self, s: Floats) -> Floats:
        """Slopes of the coordinates at parameters `s`: (coordinates, *s.shape)."""
        (c3, c2, c1, _), u = self._piece(s)
        return np.asarray((3 * c3 * u + 2 * c2) * u + c1)

    def _piece(self, s: Floats) -> tuple[Floats, Floats]:
        piece = np.searchsorted(self.knots[1:-1], s, side="right")
        return self.coefficients.take(piece, axis=2), s - self.knots.take(piece)

    def stations(self, least: int) -> Floats:
        """At least `least` parameters from end to end, with every knot among them.

        Each piece gets half its share by length and half its share by number, so that neither
        a long piece nor a short, tight one goes short.
        """
        step = np.diff(self.knots)
        share = (step / self.length + 1 / len(step)) / 2
        count = np.ceil(least * share).astype(np.intp)
        piece = np.repeat(np.arange(len(step)), count)
        place = np.arange(len(piece)) - np.repeat(np.cumsum(count) - count, count)
        inner = self.knots[piece] + step[piece] * (place / count[piece])
        return np.append(inner, self.knots[-1])

    def thin_stations(self, least: int) -> Floats:
        """At least so many parameters from end to end: of a curve that has more knots than anybody
        draws, read off other curves, not every one, but two or three times as many."""
        s = self.stations(least)
        if len(self.knots) <= MOST_POINTS:
            return s
        return np.append(s[: -1 : max(len(s) // (2 * least), 1)], s[-1])


def hermite(knots: Floats, values: Floats, slopes: Floats) -> Curve:
    """The cubic Hermite curve with `values` and `slopes` (n, coordinates) at `knots` (n,)."""
    return Curve(knots, np.stack([power.T for power in powers(knots, values, slopes)]))


def powers(knots: Floats, values: Floats, slopes: Floats) -> tuple[Floats, ...]:
    """Coefficients (..., n - 1, coordinates) of its cubics, highest power first."""
    step = np.diff(knots)[..., np.newaxis]
    secant = np.diff(values, axis=-2) / step
    start, end = slopes[..., :-1, :], slopes[..., 1:, :]
    bend = (start + end - 2 * secant) / step
    return bend / step, (secant - start) / step - bend, start, values[..., :-1, :]


def steady_slopes(knots: Floats, values: Floats) -> Floats:
    """Slopes (..., n, coordinates) of the cubic splines through `values` at `knots` (..., n), held
    so that nothing overshoots; as many curves at once as there are leading axes."""
    step = np.diff(knots)[..., np.newaxis]
    secant = np.diff(values, axis=-2) / step
    slopes = _spline_slopes(step, secant)
    before, after = secant[..., :-1, :], secant[..., 1:, :]
    sign = (np.sign(before) + np.sign(after)) / 2
    size = np.sort(np.abs(np.stack((before, after))), axis=0)
    held = np.clip(sign * slopes[..., 1:-1, :], size[0], np.minimum(size[1], 3 * size[0]))
    slopes[..., 1:-1, :] = sign * held
    for end in (0, -1):
        sign = np.sign(secant[..., end, :])
        most = 3 * np.abs(secant[..., end, :])
        slopes[..., end, :] = sign * np.clip(sign * slopes[..., end, :], 0, most)
    return slopes


def _spline_slopes(step: Floats, secant: Floats) -> Floats:
    """Slopes (..., n, coordinates) of the splines whose first two and last two pieces are one cubic
    (de Boor, A Practical Guide to Splines, ch. IV; from memory); a parabola through three. All
    systems are solved as one, whose blocks don't touch."""
    pieces = step.shape[-2]
    if pieces == 1:
        return np.concatenate((secant, secant), axis=-2)
    if pieces == 2:  # noqa: PLR2004 -- three points
        (first, last), both = (step[..., :1, :], step[..., 1:, :]), step.sum(axis=-2, keepdims=True)
        middle = (last * secant[..., :1, :] + first * secant[..., 1:, :]) / both
        return np.concatenate(
            (2 * secant[..., :1, :] - middle, middle, 2 * secant[..., 1:, :] - middle), axis=-2
        )
    both = step[..., :-1, :] + step[..., 1:, :]
    right = np.empty((*step.shape[:-2], pieces + 1, secant.shape[-1]))
    right[..., 1:-1, :] = 3 * (
        step[..., 1:, :] * secant[..., :-1, :] + step[..., :-1, :] * secant[..., 1:, :]
    )
    for end, near, far in ((0, 0, 1), (-1, -1, -2)):
        wide, close, away = both[..., end, :], step[..., near, :], step[..., far, :]
        lean = (close + 2 * wide) * away * secant[..., near, :]
        right[..., end, :] = (lean + close**2 * secant[..., far, :]) / wide
    none = np.zeros_like(both[..., :1, :])
    above = np.concatenate((both[..., :1, :], step[..., :-1, :], none), axis=-2).ravel()[:-1]
    below = np.concatenate((step[..., 1:, :], both[..., -1:, :], none), axis=-2).ravel()[:-1]
    centre = np.concatenate((step[..., 1:2, :], 2 * both, step[..., -2:-1, :]), axis=-2).ravel()
    found = dgtsv(below, centre, above, right.reshape(-1, right.shape[-1]))[3]
    return np.asarray(found).reshape(right.shape)


def smooth_curve(points: Floats) -> Curve:
    """The curve through `points` (n, coordinates), n ≥ 2, over the length of their chords."""
    knots = np.append(0.0, np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1)))
    return hermite(knots, points, steady_slopes(knots, points))


def parameters_at(curve: Curve, coordinate: int, levels: Floats) -> Floats:
    """Where a coordinate that never falls reaches `levels` (m,): parameters (m,).

    The stations bracket the answer; three steps of Newton's method within the bracket leave an
    error below 1e-9 mm on smooth curves. On a flat stretch any parameter of it may be given.
    """
    grid = curve.stations(8 * len(curve.knots))
    heights = curve.at(grid)[coordinate]
    cell = np.clip(np.searchsorted(heights, levels) - 1, 0, len(grid) - 2)
    low, high = grid[cell], grid[cell + 1]
    s = np.clip(np.interp(levels, heights, grid), low, high)
    for _ in range(3):
        slope = curve.slopes_at(s)[coordinate]
        miss = levels - curve.at(s)[coordinate]
        step = np.divide(miss, slope, out=np.zeros_like(s), where=slope > 0)
        s = np.clip(s + step, low, high)
    return s
