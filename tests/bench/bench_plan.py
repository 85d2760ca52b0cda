"""Whole plans against a triangle-mesh library on the same form, at the same accuracy; ten thousand
in one call of arrays; and how time grows with the drawing and with the rows.

A whole plan is what its page answers: form, clay, sizes, height lines, rows, rests and what the
wall's own weight asks. The mesh way offsets the wall with GEOS, revolves both solids and subtracts
them (trimesh and manifold3d), corrected for its chords, with as few sides as bring it within 0.01 %
of a fine reference, and answers the clay alone. Run: python -m tests.bench.bench_plan
"""

import statistics
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from functools import partial

import numpy as np
import shapely

from planning.geometry.form import Form, form
from planning.geometry.inputs import Outline, PlanInputs, Point, Wall
from planning.geometry.many import many
from planning.geometry.plan import figures, plan
from planning.geometry.surface import surface_in_proportion
from planning.geometry.volume import volumes
from planning.rows.choices import Choices
from planning.rows.own_weight import own_weight
from planning.rows.rows import RowList, row_list
from tests.planning.geometry.forms import (
    BELLIED,
    BODY,
    Floats,
    fine_meridian,
    hollow_polygon,
    inputs,
    meridian_points,
    mesh_clay_volume,
    revolved_volume,
)

WALL, BASE, COIL = 8.0, 10.0, 14.0
WANTED = 1e-4
SIDES = (32, 64, 128, 256, 512, 1024)
MANY, COMPARED = 10_000, 300
POINTS = (10, 20, 40, 80, 150, 300)
COILS = (28.0, 20.0, 14.0, 10.0, 7.0, 5.0)


def seconds(work: Callable[[], object], rounds: int) -> float:
    """Median time of one call."""
    work()
    taken = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def with_rows(asked: PlanInputs, coil_mm: float = COIL) -> tuple[Form, RowList]:
    """Form, clay, sizes, height lines, rows and rests."""
    made = form(asked)
    figures(asked, made)
    return made, row_list(made, Choices(coil_mm, BODY.wet_density_g_per_cm3))


def whole(asked: PlanInputs, coil_mm: float = COIL) -> int:
    """And what the wall's own weight asks; how many rows."""
    made, listed = with_rows(asked, coil_mm)
    own_weight(made, listed, BODY.wet_density_g_per_cm3)
    return len(listed.rows)


def by_mesh(meridian: Floats, sides: int) -> float:
    hollow = hollow_polygon(meridian, WALL, BASE, quad_segs=16)
    return mesh_clay_volume(meridian, hollow, sides)


def against_meshes() -> Iterator[str]:
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
    mesh = seconds(lambda: by_mesh(coarse, sides), 9)
    yield (
        f"mesh library, clay alone: {mesh * 1000:.0f} ms, off by {meshed:.5%} with {sides} sides; "
        f"the plan's clay is off by {planned:.5%}"
    )
    parts = ("clay, sizes and height lines", plan), ("and rows and rests", with_rows)
    for name, work in (*parts, ("and the wall's own weight", whole)):
        taken = seconds(partial(work, asked), 40)
        yield f"  {name}: {mesh / taken:.0f} times as quick ({taken * 1000:.1f} ms)"


def in_one_call() -> Iterator[str]:
    """Random bellies, necks and flares of seven points, as smooth as a hand draws them."""
    rng = np.random.default_rng(1)
    half = rng.uniform(60, 110, MANY)[:, np.newaxis]
    half = np.clip(half * np.exp(rng.normal(0, 0.1, (MANY, 7)).cumsum(axis=1)), 35, 180)
    height = np.linspace(0, 1, 7) * rng.uniform(150, 420, MANY)[:, np.newaxis]
    profiles = np.stack((half, height), axis=-1)
    walls, base, coil = np.array([[WALL, 6.0]]), np.array([BASE]), np.array([8.0])
    alone = many(profiles, walls, base, coil).alone
    smooth = np.concatenate([profiles[~alone]] * 2)[:MANY]
    taken = seconds(lambda: many(smooth, walls, base, coil), 5)
    found = many(smooth[:COMPARED], walls, base, coil)
    clay = found.wall_mm3 + found.base_mm3 + found.corner_mm3
    one = [
        volumes(surface_in_proportion(each, 1.0), Wall(WALL, 6.0), BASE, 8.0).total
        for each in smooth[:COMPARED]
    ]
    off = np.sqrt(((clay / one - 1) ** 2).mean())
    yield (
        f"{MANY:,} round forms in one call: {taken:.2f} s, the clay off by {off:.6%} (rms) from "
        f"{COMPARED} computed alone; of random ones {alone.mean():.0%} fold over and are "
        "computed alone"
    )


def growth() -> Iterator[str]:
    yield "milliseconds of a whole plan"
    profiles = [_arc(count) for count in POINTS]
    for name, outline in (("round", Outline("round")), ("leaf", Outline("leaf", 0.6))):
        times = [seconds(partial(whole, inputs(each, outline=outline)), 9) for each in profiles]
        yield _grown(f"  {name}, by points of the profile", POINTS, times)
    asked = inputs(BELLIED)
    rows = [whole(asked, coil) for coil in COILS]
    times = [seconds(partial(whole, asked, coil), 15) for coil in COILS]
    yield _grown("  round, by rows", rows, times)


def _arc(count: int) -> tuple[Point, ...]:
    """One smooth belly under a neck, drawn with so many points."""
    share = np.linspace(0, 1, count)
    half = 60 + 45 * np.sin(np.pi * share) ** 2 - 15 * share
    return tuple(
        Point(height, each, each)
        for height, each in zip((300 * share).tolist(), half.tolist(), strict=True)
    )


def _grown(name: str, sizes: Sequence[int], times: Sequence[float]) -> str:
    """The table of times, and the exponent of the power of the size that fits them best."""
    slope = np.polyfit(np.log(sizes), np.log(times), 1)[0]
    table = "  ".join(f"{size}: {each * 1000:.1f}" for size, each in zip(sizes, times, strict=True))
    return f"{name}: {table}  (grows as its power {slope:.2f})"


def main() -> None:
    for part in (against_meshes, in_one_call, growth):
        for line in part():
            sys.stdout.write(line + "\n")


if __name__ == "__main__":
    main()
