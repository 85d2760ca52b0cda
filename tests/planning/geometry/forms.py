"""Sample forms, and independent ways to measure them that share no code with the volumes."""

import manifold3d
import numpy as np
import shapely
import shapely.geometry.base
import trimesh
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from planning.geometry.inputs import Body, Outline, PlanInputs, Point, Wall
from planning.geometry.surface import Surface

Floats = NDArray[np.float64]

# The hollow has creases, so that many levels matter; its sections are smooth, so that few rays do.
LEVELS, RAYS = 320, 16

# A stoneware body; any would do. Densities and percentages from the range of suppliers' sheets.
BODY = Body(
    wet_density_g_per_cm3=1.95,
    water_pct_wet_basis=21,
    drying_shrinkage_pct=6,
    total_shrinkage_pct=12,
    loss_on_ignition_pct=6,
)


def points(*rows: tuple[float, float]) -> tuple[Point, ...]:
    """From (height, half-width) rows."""
    return tuple(Point(height, half, half) for height, half in rows)


def inputs(profile: tuple[Point, ...], **changed: object) -> PlanInputs:
    values: dict[str, object] = {
        "outline": Outline("round"),
        "drawn_as": "wet",
        "wall": Wall(8, 8),
        "base_mm": 10,
        "corner_coil_mm": 0,
        "working_allowance_pct": 20,
        "body": BODY,
    }
    return PlanInputs(profile=profile, **(values | changed))  # type: ignore[arg-type]


BELLIED = points((0, 45), (60, 90), (130, 110), (200, 60), (260, 47), (290, 63))


def random_profile(rng: np.random.Generator) -> Floats:
    """(n, 2) of half-width and height: bellies, necks, flares; some bend tighter than a wall."""
    count = int(rng.integers(3, 12))
    height = rng.uniform(120, 420)
    levels = np.concatenate(([0], np.sort(rng.uniform(0.05, 0.95, count - 2)), [1])) * height
    swing = rng.uniform(40, 110) * np.exp(np.cumsum(rng.normal(0, 0.22, count)))
    return np.stack((np.clip(swing, 30, 180), levels), axis=-1)


def fine_meridian(surface: Surface, count: int) -> Floats:
    """(n, 3) points of half front, half depth, height, close together."""
    return surface.curve.at(surface.curve.stations(count)).T


def meridian_points(profile: tuple[Point, ...]) -> Floats:
    """(n, 2) of half-width and height."""
    return np.array([(each.half_mm, each.height_mm) for each in profile])


def hollow_polygon(
    meridian: Floats, thickness: float, floor: float, quad_segs: int = 256
) -> shapely.geometry.base.BaseGeometry:
    """Half the hollow's axial section by GEOS: the region inside less the buffered wall line."""
    line = shapely.LineString(meridian)
    rim = float(meridian[-1, 1])
    inside = shapely.Polygon([(0, 0), *meridian.tolist(), (0, rim)])
    above = shapely.box(0, floor, float(meridian[:, 0].max()) + 1, rim)
    return inside.intersection(above).difference(line.buffer(thickness, quad_segs=quad_segs))


def revolved_volume(polygon: shapely.Geometry) -> float:
    """Pappus for polygons: 2π ∫ r dA, exact for straight edges."""
    total = 0.0
    for part in getattr(polygon, "geoms", [polygon]):
        r, z = np.asarray(part.exterior.coords).T
        cross = r[:-1] * z[1:] - r[1:] * z[:-1]
        total += abs(2 * np.pi * float(((r[:-1] + r[1:]) * cross).sum()) / 6)
    return total


def mesh_clay_volume(meridian: Floats, polygon: shapely.Geometry, segments: int) -> float:
    """Outer solid less hollow as a boolean of revolved meshes.

    A regular n-gon of radius r has area (n/2) sin(2π/n) r²: the factor takes the chords out.
    """
    assert isinstance(polygon, shapely.Polygon)
    outer = np.concatenate(([[0, 0]], meridian, [[0, meridian[-1, 1]]]))
    solids = [
        _solid(trimesh.creation.revolve(section, sections=segments))
        for section in (outer, np.asarray(polygon.exterior.coords)[::-1])
    ]
    chords = segments / (2 * np.pi) * np.sin(2 * np.pi / segments)
    return float((solids[0] - solids[1]).volume() / chords)


def _solid(mesh: trimesh.Trimesh) -> manifold3d.Manifold:
    solid = manifold3d.Manifold(
        manifold3d.Mesh(
            np.asarray(mesh.vertices, dtype=np.float32), np.asarray(mesh.faces, dtype=np.uint32)
        )
    )
    assert solid.status() == manifold3d.Error.NoError
    return solid


def hollow_volume_by_distance(surface: Surface, thickness: float, floor: float) -> float:
    """Capacity of an oval pot from distances to a dense cloud of outer wall points.

    On each level and ray the edge of the hollow is bisected. The distance to the nearest cloud
    point is taken along its normal, which leaves an error of the square of the cloud's spacing
    over twice the radius of curvature; at the wall's two edges it is the plain distance.
    """
    meridian = fine_meridian(surface, 420)
    turn = np.linspace(0, 2 * np.pi, 720, endpoint=False)
    wide = meridian[:, 0, None] * np.cos(turn)
    deep = meridian[:, 1, None] * np.sin(turn)
    cloud = np.stack((wide, deep, np.broadcast_to(meridian[:, 2, None], wide.shape)), axis=-1)
    along = np.gradient(cloud, axis=0)
    around = np.roll(cloud, -1, axis=1) - np.roll(cloud, 1, axis=1)
    normals = np.cross(around, along)
    normals /= np.linalg.norm(normals, axis=-1, keepdims=True)
    normals[[0, -1]] = np.nan
    tree, normals = cKDTree(cloud.reshape(-1, 3)), normals.reshape(-1, 3)

    rim = float(meridian[-1, 2])
    nodes, weights = np.polynomial.legendre.leggauss(LEVELS)
    levels = floor + (nodes + 1) / 2 * (rim - floor)
    rays = (np.arange(RAYS) + 0.5) / RAYS * (np.pi / 2)
    # Even steps on the ellipse rather than in angle: narrow ovals are long.
    ratio = np.interp(levels, meridian[:, 2], meridian[:, 1] / meridian[:, 0])[:, None]
    cos, sin = np.broadcast_to(np.cos(rays), (LEVELS, RAYS)), ratio * np.sin(rays)
    low = np.zeros((LEVELS, RAYS))
    widest = np.interp(levels, meridian[:, 2], meridian[:, 0])
    high = np.broadcast_to(widest[:, None], (LEVELS, RAYS))
    height = np.broadcast_to(levels[:, None], (LEVELS, RAYS))
    for _ in range(15):  # to some thousandths of a millimetre
        middle = (low + high) / 2
        at = np.stack((middle * cos, middle * sin, height), axis=-1).reshape(-1, 3)
        plain, nearest = tree.query(at)
        upright = np.abs(((at - cloud.reshape(-1, 3)[nearest]) * normals[nearest]).sum(axis=1))
        far = np.where(np.isnan(upright), plain, upright).reshape(LEVELS, RAYS) >= thickness
        low, high = np.where(far, middle, low), np.where(far, high, middle)
    edge = (low + high) / 2
    areas = 2 * (edge**2 * ratio).mean(axis=1) * (np.pi / 2)
    return float(areas @ weights * (rim - floor) / 2)
