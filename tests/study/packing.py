"""How full shelves and kilns get with random mixed ware, and how long that takes.

The ware is invented, of a usual school kind: fronts evenly spread from 80 to 180 mm, heights from
60 to 240 mm; of ten pots four are round, two oval (0.6 to 0.9 deep), one a leaf (0.5 to 0.7 deep),
two rounded squares (corner 0.2 to 0.6) and one traced (a lopsided hull of nine points). Shelves are
round (560 mm), octagonal (600 mm), rectangular (600 × 500 mm) and oval (700 × 500 mm); three posts
of 40 mm stand at the edge; gaps are 6 mm. The first pots are the most urgent. Processor time, not
the clock.

Run: python -m tests.study.packing (some minutes), or as a part of make study
"""

import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from studio.kilns.packing.inputs import Furniture, Outline, Piece, Shelf, Spot
from studio.kilns.packing.load import Load, place_into
from studio.kilns.packing.room import Room
from studio.kilns.packing.tolerances import CONTACT_MM
from tests.studio.kilns.packing.kilns import EQUAL_CIRCLES

SHELVES = (
    Shelf("round", 560, 560),
    Shelf("octagon", 600, 600),
    Shelf("rectangle", 600, 500),
    Shelf("oval", 700, 500),
)
POSTS_MM = (100.0, 150.0, 200.0, 250.0)
GAP_MM, HEADROOM_MM, THICKNESS_MM = 6.0, 20.0, 20.0
MOSTLY_FITS, FEWEST_THAT_FIT = 0.76, 40
"""Up to so much offered nearly every set fits whole; so many sets at least show how nearly."""

KINDS = ("round",) * 4 + ("oval",) * 2 + ("leaf",) + ("rounded_square",) * 2 + ("traced",)


def kiln(shelf: Shelf, usable_height_mm: float) -> Furniture:
    """A kiln with three posts at its shelves' edge."""
    posts = tuple(
        Spot(
            float(np.cos(angle)) * (shelf.width_mm / 2 - 20),
            float(np.sin(angle)) * (shelf.depth_mm / 2 - 20),
            40,
        )
        for angle in np.radians((90, 210, 330))
    )
    return Furniture(
        shelf, usable_height_mm, THICKNESS_MM, POSTS_MM, GAP_MM, HEADROOM_MM, post_footprints=posts
    )


def ware(name: str, dice: np.random.Generator) -> Piece:
    """One random pot."""
    kind = KINDS[dice.integers(len(KINDS))]
    front, height = float(dice.uniform(80, 180)), float(dice.uniform(60, 240))
    deep = {"oval": dice.uniform(0.6, 0.9), "leaf": dice.uniform(0.5, 0.7)}
    depth = front * float(deep.get(kind, 1.0))
    angle = np.arange(9) * (2 * np.pi / 9)
    radius = dice.uniform(0.75, 1, 9)
    points = tuple(
        (float(r * np.cos(a)), float(r * np.sin(a))) for a, r in zip(angle, radius, strict=True)
    )
    corner = float(dice.uniform(0.2, 0.6))
    outlines = {
        "rounded_square": Outline("rounded_square", corner_ratio=corner),
        "traced": Outline("traced", points=points),
        "oval": Outline("oval"),
        "leaf": Outline("leaf"),
    }
    return Piece(name, front, depth, height, outlines.get(kind, Outline("round")))


def ware_for(furniture: Furniture, share: float, seed: int) -> list[Piece]:
    """Pots that would cover so much of one shelf, to less than 0.005 below."""
    dice, room = np.random.default_rng(seed), Room(furniture)
    pieces: list[Piece] = []
    covered = 0.0
    for n in range(3000):
        piece = ware(f"P{n}", dice)
        area = room.piece_area_mm2(piece) / room.area_mm2
        if covered + area <= share:
            pieces.append(piece)
            covered += area
        if covered > share - 0.005:
            return pieces
    return pieces


@dataclass(frozen=True)
class Told:
    """What one load came to, and its processor time."""

    load: Load
    offered: int
    seconds: float


def timed(furniture: Furniture, pieces: Sequence[Piece]) -> Told:
    begin = time.process_time()
    load = place_into(furniture, pieces, fullest=True)  # as a person's load and the API ask
    return Told(load, len(pieces), time.process_time() - begin)


def one_layer(share: float, seeds: Sequence[int]) -> list[Told]:
    """Loads of one layer with so much offered for each."""
    told = []
    for seed in seeds:
        furniture = kiln(SHELVES[seed % len(SHELVES)], 300)
        furniture = replace(furniture, posts_mm=())
        told.append(timed(furniture, ware_for(furniture, share, 1000 + seed)))
    return told


def equal_circles(within: float) -> int:
    """Of the known cases, how many fit a shelf that is wider than the least one by this share."""
    fit = 0
    for count, ratio in EQUAL_CIRCLES.items():
        across = 200 * ratio * (1 + within) + 2 * CONTACT_MM
        shelf = Furniture(Shelf("round", across, across), 100, 20, (), 0, 0)
        fit += not place_into(shelf, [Piece(f"{n}", 200, 200, 50) for n in range(count)]).unplaced
    return fit


def whole_kilns(count: int, seed: int) -> Iterator[Told]:
    """A class's pots into kilns of a usual height."""
    for n in range(count):
        dice = np.random.default_rng(5000 + seed + n)
        yield timed(kiln(SHELVES[n % len(SHELVES)], 700), [ware(f"P{k}", dice) for k in range(60)])


def table(sets: int = 24) -> Iterator[str]:
    mean: Callable[[list[float]], float] = lambda values: float(np.mean(values))  # noqa: E731
    yield f"{'shelves filled':34} {'sets':>6} {'filled':>6} {'all fit':>7} {'s':>6} {'most':>6}"
    for share in (0.70, 0.74, 0.76, 0.78, 0.80, 1.0, 1.3, 2.0):
        some = range(max(sets, FEWEST_THAT_FIT) if share <= MOSTLY_FITS else sets)
        told = one_layer(share, some)
        seconds = [each.seconds for each in told]
        yield (
            f"{f'one layer, {share:.2f} offered':34} {len(some):6} "
            f"{mean([each.load.area_filled for each in told]):6.3f} "
            f"{mean([float(not each.load.unplaced) for each in told]):7.0%} "
            f"{mean(seconds):6.2f} {max(seconds):6.2f}"
        )
    whole = list(whole_kilns(max(sets // 3, 4), 0))
    yield (
        f"{'whole kilns, 60 pots offered':34} {len(whole):6} "
        f"{mean([each.load.area_filled for each in whole]):6.3f} "
        f"{mean([1 - len(each.load.unplaced) / each.offered for each in whole]):7.0%} "
        f"{mean([each.seconds for each in whole]):6.2f} {max(each.seconds for each in whole):6.2f}"
    )
    for within in (0.01, 0.001):
        fit = equal_circles(within)
        yield f"equal circles within {within:.1%}: {fit} of {len(EQUAL_CIRCLES)}"


if __name__ == "__main__":
    for line in table():
        sys.stdout.write(line + "\n")
        sys.stdout.flush()
