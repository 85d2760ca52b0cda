"""A plane made better by height lines: they are level, parallel and evenly spaced.

What the scale says is only known where it lies; lines over the whole drawing say how the rest of
the paper is turned away and how the lens bends it.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.optimize import least_squares

from .arrays import Floats
from .lattice import Lines
from .plane import Plane, moved, straightened

LINE_MM: Final = 0.25
"""How far off a height line is that is drawn with a ruler (standard deviation)."""

BEND: Final = 0.01
"""How strongly lenses of phones bend in the corners, after what the phone corrects itself."""

PRINTED: Final = 0.005
"""How true to size a printer prints (standard deviation of the factor)."""

_SQUARE: Final = 0.004
"""How well a camera's rays are known when its focal length is known to a tenth."""

_UNIT_MM: Final = 300.0


@dataclass(frozen=True)
class Scale:
    """Places (n, 2) on paper in mm and in the photo, and how exactly they are known, in mm.
    `focal_px` is given where a hand tapped them: then the camera, whose rays are known, helps."""

    paper: Floats
    photo: Floats
    exact_mm: float
    focal_px: float | None = None


@dataclass(frozen=True)
class Refined:
    """The better plane, whose x runs along the height lines and in which line `number` lies at
    `number` × `spacing_mm`; how far lines (mm, rms) miss it, and by which factor the scale's
    millimetres are larger than those of the height lines."""

    plane: Plane
    lines_mm: float
    factor: float


def refined(plane: Plane, scale: Scale, photo: Floats, lines: Lines, spacing_mm: float) -> Refined:
    """`photo` (n, 2) are the pixels of `lines.places`."""
    middle = lines.places.mean(axis=0)
    number = lines.number
    per_line = np.array([np.count_nonzero(number == each) for each in number])
    spread = LINE_MM * np.sqrt(np.maximum(per_line / 2, 1))
    level = float(np.mean(lines.places[:, 1] - number * spacing_mm))
    scale_at = plane.to_paper(scale.photo)
    pose = _rigid(scale.paper, scale_at)

    def measured(unknown: Floats, pixels: Floats) -> Floats:
        straight = straightened(pixels, plane.size, unknown[8])
        flat = moved(_inverse(plane.homography), straight)
        return moved(_change(unknown), (flat - middle) / _UNIT_MM) * _UNIT_MM

    def misses(unknown: Floats) -> tuple[Floats, Floats]:
        lines_off = measured(unknown, photo)[:, 1] - (number * spacing_mm + level - middle[1])
        turned = moved(
            _pose(unknown[9], pose[2] + unknown[10] * _UNIT_MM, pose, unknown[11]), scale.paper
        )
        return lines_off, measured(unknown, scale.photo) + middle - turned

    def plane_of(unknown: Floats) -> Plane:
        there = back @ _change(unknown) @ unit @ _inverse(plane.homography)
        homography = _inverse(there)
        return Plane(homography / homography[2, 2], plane.size, float(unknown[8]))

    def weighed(unknown: Floats) -> Floats:
        lines_off, scale_off = misses(unknown)
        soft = lines_off / spread
        soft = np.sign(soft) * np.sqrt(2 * (np.sqrt(1 + soft**2) - 1))
        far = [unknown[8] / BEND, unknown[11] / PRINTED]
        if scale.focal_px is not None:
            far += [each / _SQUARE for each in _skewed(plane_of(unknown), scale.focal_px)]
        return np.concatenate((soft, scale_off.ravel() / scale.exact_mm, far))

    size = _UNIT_MM
    unit = np.array(((1 / size, 0, -middle[0] / size), (0, 1 / size, -middle[1] / size), (0, 0, 1)))
    back = np.array(((size, 0, middle[0]), (0, size, middle[1] - level), (0, 0, 1)))
    start = np.zeros(12)
    start[8:10] = plane.bend, pose[0]
    best = least_squares(weighed, start, x_scale="jac", max_nfev=40).x
    lines_off, _ = misses(best)
    return Refined(plane_of(best), float(np.sqrt(np.mean(lines_off**2))), float(1 + best[11]))


def _skewed(plane: Plane, focal_px: float) -> tuple[float, float]:
    """How far the paper's mm are from square for a camera of that focal length: the cosine
    between x and y, and the logarithm of x ÷ y (Z. Zhang, "A flexible new technique for camera
    calibration", IEEE PAMI 22, 2000, equations 3 and 4)."""
    width, height = plane.size
    lens = np.array(((focal_px, 0, (width - 1) / 2), (0, focal_px, (height - 1) / 2), (0, 0, 1)))
    x, y = (np.linalg.inv(lens) @ plane.homography)[:, :2].T
    lengths = np.linalg.norm(x), np.linalg.norm(y)
    return float(x @ y / lengths[0] / lengths[1]), float(np.log(lengths[0] / lengths[1]))


def _inverse(homography: Floats) -> Floats:
    return np.asarray(np.linalg.inv(homography), dtype=np.float64)


def _change(unknown: Floats) -> Floats:
    a, b, c, d, e, f, g, h = unknown[:8]
    return np.array(((1 + a, b, c), (d, 1 + e, f), (g, h, 1)))


def _rigid(paper: Floats, there: Floats) -> tuple[float, float, float, bool]:
    """Turn, shift x, shift y, and whether mirrored, that takes `paper` to `there` best."""
    p, q = paper - paper.mean(axis=0), there - there.mean(axis=0)
    mirrored = float(np.linalg.det(p.T @ q)) < 0
    p = p * (1, -1) if mirrored else p
    turn = float(np.arctan2((p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]).sum(), (p * q).sum()))
    spun = moved(_pose(turn, 0.0, (turn, 0.0, 0.0, mirrored), 0.0), paper)
    x, y = there.mean(axis=0) - spun.mean(axis=0)
    return turn, float(x), float(y), mirrored


def _pose(turn: float, y: float, pose: tuple[float, float, float, bool], larger: float) -> Floats:
    cos, sin = (1 + larger) * np.cos(turn), (1 + larger) * np.sin(turn)
    flip = -1.0 if pose[3] else 1.0
    return np.array(((cos, -sin * flip, pose[1]), (sin, cos * flip, y), (0, 0, 1)))
