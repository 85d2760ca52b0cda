"""A whole plan against a triangle-mesh library on the same form, at the same accuracy.

The mesh way offsets the wall with GEOS, revolves both solids and subtracts them (trimesh and
manifold3d), corrected for its chords, with as few sides as bring it within 0.01 % of a fine
reference; the plan computes its clay and everything
else that it answers. Run: python -m tests.bench.bench_plan
"""

import statistics
import sys
import time
from collections.abc import Callable

import shapely

from planning.geometry.inputs import Wall
from planning.geometry.plan import plan
from planning.geometry.surface import surface_in_proportion
from tests.planning.geometry.forms import (
    BELLIED,
    Floats,
    fine_meridian,
    hollow_polygon,
    inputs,
    meridian_points,
    mesh_clay_volume,
    revolved_volume,
)

WALL, BASE = 8.0, 10.0
WANTED = 1e-4
SIDES = (32, 64, 128, 256, 512, 1024)


def seconds(work: Callable[[], object], rounds: int) -> float:
    """Median time of one call."""
    work()
    taken = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def by_mesh(meridian: Floats, sides: int) -> float:
    hollow = hollow_polygon(meridian, WALL, BASE, quad_segs=16)
    return mesh_clay_volume(meridian, hollow, sides)


def main() -> None:
    surface = surface_in_proportion(meridian_points(BELLIED), 1.0)
    fine = fine_meridian(surface, 20_000)[:, [0, 2]]
    outer = shapely.Polygon([(0, 0), *fine.tolist(), (0, fine[-1, 1])])
    clay = revolved_volume(outer) - revolved_volume(hollow_polygon(fine, WALL, BASE))
    asked = inputs(BELLIED, wall=Wall(WALL, WALL), base_mm=BASE)
    planned = abs(plan(asked).total_cm3 * 1000 / clay - 1)
    coarse = fine_meridian(surface, 200)[:, [0, 2]]
    sides, meshed = next(
        (sides, off) for sides in SIDES if (off := abs(by_mesh(coarse, sides) / clay - 1)) <= WANTED
    )
    ratio = seconds(lambda: by_mesh(coarse, sides), 9) / seconds(lambda: plan(asked), 60)
    sys.stdout.write(
        f"plan / mesh library: {ratio:.0f} times as quick "
        f"(off by {planned:.5%}, the mesh of {sides} sides by {meshed:.5%})\n"
    )


if __name__ == "__main__":
    main()
