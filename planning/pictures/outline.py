"""Silhouettes as vector paths: where a pot's outline, rim, light and crack run on a page.

Pure: the standard library only. A silhouette is a sequence of (height_mm, left_mm, right_mm) from
the table to the rim; a path is the text of an SVG `d` attribute in drawing units, y downwards.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, pairwise
from math import dist, hypot

Sample = tuple[float, float, float]
Point = tuple[float, float]
Cubic = tuple[Point, Point, Point, Point]

# A path may leave its samples by this much: a third of a hair-thin line at full size.
TOLERANCE = 0.35
RIM_TILT = 0.17  # how far a rim opens towards the eye, as height ÷ width of its ellipse
FOOT_TILT = 0.07  # the foot's near edge, less than geometry says: the eye forgives a flat foot
WALL_MM = 8.0  # only for the lip in a picture; the plan has the true wall
CRACK = ((0.16, 0.0), (0.02, 0.13), (0.17, 0.24), (0.05, 0.36), (0.12, 0.46))


@dataclass(frozen=True)
class Place:
    """Where a silhouette stands: the drawing's scale and the point under its axis."""

    scale: float  # drawing units per mm
    x: float
    y: float

    def right(self, sample: Sample) -> Point:
        return self.x + sample[2] * self.scale, self.y - sample[0] * self.scale

    def left(self, sample: Sample) -> Point:
        return self.x - sample[1] * self.scale, self.y - sample[0] * self.scale


@dataclass(frozen=True)
class Ellipse:
    cx: float
    cy: float
    rx: float
    ry: float

    @property
    def path(self) -> str:
        """The whole ellipse as a closed path."""
        arc = f"A{_n(self.rx)} {_n(self.ry)} 0 0 1 "
        left = point_text((self.cx - self.rx, self.cy))
        return f"M{left}{arc}{point_text((self.cx + self.rx, self.cy))}{arc}{left}Z"


@dataclass(frozen=True)
class PotDrawing:
    """One pot in drawing units: `body` up to the rim's near edge, `profile` as drawn on paper."""

    body: str
    profile: str
    rim: Ellipse
    mouth: Ellipse
    light: str
    crack: str


def pot_drawing(silhouette: Sequence[Sample], place: Place) -> PotDrawing:
    """Everything that a picture of the pot needs.

    Raises ValueError for fewer than two samples.
    """
    if len(silhouette) < 2:  # noqa: PLR2004 -- a line needs two ends
        message = "a silhouette has at least two samples"
        raise ValueError(message)
    return _pot_drawing(tuple(tuple(sample) for sample in silhouette), place)


# A class page draws the same pots again and again; a drawing costs half a millisecond and 2 kB.
@lru_cache(maxsize=2048)
def _pot_drawing(silhouette: tuple[Sample, ...], place: Place) -> PotDrawing:
    right = smooth_path([place.right(sample) for sample in silhouette])
    left = smooth_path([place.left(sample) for sample in reversed(silhouette)])
    rim = _level_ellipse(silhouette[-1], place, RIM_TILT)
    foot = _level_ellipse(silhouette[0], place, FOOT_TILT)
    start = point_text(place.right(silhouette[0]))
    top_left = point_text(place.left(silhouette[-1]))
    lip = min(WALL_MM * place.scale, rim.rx * 0.45)
    return PotDrawing(
        body=(
            f"M{start}{right}A{_n(rim.rx)} {_n(rim.ry)} 0 0 1 {top_left}{left}"
            f"A{_n(foot.rx)} {_n(foot.ry)} 0 0 0 {start}Z"
        ),
        profile=f"M{start}{right}L{top_left}{left}Z",
        rim=rim,
        mouth=Ellipse(rim.cx, rim.cy, rim.rx - lip, max(rim.ry - lip * 0.4, rim.ry * 0.45)),
        light=_light(silhouette, place),
        crack=_crack(silhouette, place),
    )


def smooth_path(points: Sequence[Point]) -> str:
    """Relative cubic segments through `points`, as few as stay within TOLERANCE of all of them.

    Tangents come from the neighbouring points, so that shoulders hold their place. The text has no
    move: it continues from the first point.
    """
    at = (round(points[0][0], 1), round(points[0][1], 1))
    text = []
    for _start, *rest in cubics(points):
        numbers = [(round(x - at[0], 1), round(y - at[1], 1)) for x, y in rest]
        text.append("c" + " ".join(point_text(pair) for pair in numbers))
        # Rounding adds up unless the next segment starts where this one truly ended.
        at = (round(at[0] + numbers[-1][0], 1), round(at[1] + numbers[-1][1], 1))
    return "".join(text)


def cubics(points: Sequence[Point]) -> list[Cubic]:
    """The same as control points: (start, first handle, second handle, end)."""
    tangents = [_tangent(points, place) for place in range(len(points))]
    way = list(accumulate((dist(one, other) for one, other in pairwise(points)), initial=0.0))
    found: list[Cubic] = []
    waiting = [(0, len(points) - 1)]
    while waiting:
        first, last = waiting.pop()
        (ax, ay), (tx, ty) = points[first], tangents[first]
        (dx, dy), (ux, uy) = points[last], tangents[last]
        along = (way[last] - way[first]) / 3
        handles = (ax + tx * along, ay + ty * along), (dx - ux * along, dy - uy * along)
        cubic = ((ax, ay), *handles, (dx, dy))
        if _strays(points, way, first, last, cubic):
            middle = (first + last) // 2
            waiting += [(middle, last), (first, middle)]
        else:
            found.append(cubic)
    return found


def _tangent(points: Sequence[Point], place: int) -> Point:
    before, after = points[max(place - 1, 0)], points[min(place + 1, len(points) - 1)]
    across, down = after[0] - before[0], after[1] - before[1]
    long = hypot(across, down) or 1.0
    return across / long, down / long


def _strays(
    points: Sequence[Point], way: Sequence[float], first: int, last: int, cubic: Cubic
) -> bool:
    """Whether a point, taken at its share of the way, is off the segment by over TOLERANCE."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = cubic
    start, whole = way[first], way[last] - way[first] or 1.0
    for place in range(first + 1, last):
        t = (way[place] - start) / whole
        u = 1 - t
        a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
        off_x = a * ax + b * bx + c * cx + d * dx - points[place][0]
        off_y = a * ay + b * by + c * cy + d * dy - points[place][1]
        if off_x * off_x + off_y * off_y > TOLERANCE * TOLERANCE:
            return True
    return False


def _level_ellipse(sample: Sample, place: Place, tilt: float) -> Ellipse:
    left, right = place.left(sample), place.right(sample)
    half = max((right[0] - left[0]) / 2, 0.1)
    return Ellipse((left[0] + right[0]) / 2, right[1], half, half * tilt)


def _light(silhouette: Sequence[Sample], place: Place) -> str:
    """A streak of light that follows the left side of a glazed pot, a third of the way in."""
    last = len(silhouette) - 1
    part = silhouette[round(last * 0.48) : round(last * 0.84) + 1]
    points = [place.left((height, left * 0.58, 0)) for height, left, _right in part]
    return f"M{point_text(points[0])}{smooth_path(points)}"


def _crack(silhouette: Sequence[Sample], place: Place) -> str:
    """A crack from the rim down, in shares of the height and of the width at the rim."""
    height, left, right = silhouette[-1]
    points = [
        place.right((height * (1 - down), 0, (left + right) * across)) for across, down in CRACK
    ]
    return polyline(points)


def polyline(points: Iterable[Point]) -> str:
    """Straight from point to point."""
    return "M" + "L".join(point_text(point) for point in points)


def point_text(point: Point) -> str:
    return f"{_n(point[0])} {_n(point[1])}"


def _n(value: float) -> str:
    """A coordinate to a tenth, as short as it goes."""
    text = f"{value:.1f}"
    return text[:-2] if text.endswith(".0") else text
