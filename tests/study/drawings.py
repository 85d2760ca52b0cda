"""Many drawings of many ideas, read as the product reads them."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from planning.exploration.copies import Lines, lines_of
from planning.exploration.poses import Poses, poses_of
from planning.exploration.reasons import NoForm
from planning.exploration.silhouette import form_in
from planning.exploration.similarity import compared
from tests.planning.exploration.drawn import Way, any_way, drawn, on_paper, taken
from tests.planning.exploration.ideas import Array, Family, idea, redrawn

LARGE = (900, 675)
"""As tall and wide as a photo is read at."""


@dataclass(frozen=True)
class Read:
    """Drawings that could be read: of which idea each is, and whether it is mirrored."""

    idea: Array
    mirrored: Array
    poses: tuple[Poses, ...]
    unread: int

    def distances(self) -> Array:
        return compared(self.poses).distances


def made_up(first: int, count: int, families: tuple[Family, ...]) -> list[Array]:
    return [idea(first + n, families) for n in range(count)]


def read(
    outlines: Sequence[Array],
    times: int,
    seed: int,
    *,
    loose: float = 1.0,
    shaky: float | tuple[float, float] = 1.0,
    of: Callable[[Way], Way] = lambda way: way,
) -> Read:
    """Every outline redrawn so many times by any tool on any paper, and read.

    `shaky` is how much the hand trembles, or from how little to how much.
    """
    steady, unsteady = np.broadcast_to(shaky, 2)

    def pictures() -> Iterable[tuple[int, bool, Array]]:
        for number, outline in enumerate(outlines):
            for time in range(times):
                rng = np.random.default_rng((seed, number, time))
                way = of(any_way(rng))
                trembles = float(np.exp(rng.uniform(np.log(steady), np.log(unsteady))))
                yield number, way.mirrored, drawn(redrawn(outline, rng, loose, trembles), way, rng)

    return of_pictures(pictures())


def of_pictures(pictures: Iterable[tuple[int, bool, Array]]) -> Read:
    """Pictures with the number of their idea and whether they are mirrored."""
    told: list[tuple[int, bool, Poses]] = []
    unread = 0
    for number, mirrored, picture in pictures:
        try:
            told.append((number, mirrored, poses_of(form_in(picture).form)))
        except NoForm:
            unread += 1
    ideas, mirrors, poses = zip(*told, strict=True)
    return Read(np.array(ideas), np.array(mirrors), poses, unread)


@dataclass(frozen=True)
class Again:
    """A drawing, the same photographed again, and a careful redrawing with the same tool."""

    first: tuple[Poses, Lines]
    copy: tuple[Poses, Lines]
    redrawing: tuple[Poses, Lines]


def again(outlines: Sequence[Array], seed: int, size: tuple[int, int] = LARGE) -> list[Again]:
    """Copies turned, tilted, smaller, in other light, three in ten mirrored."""
    told = []
    for number, outline in enumerate(outlines):
        rng = np.random.default_rng((seed, number))
        way = replace(any_way(rng, mirrored=False), turn_deg=0.0, size=size)
        paper = on_paper(redrawn(outline, rng), way, rng)
        photos: list[Any] = [taken(paper, rng), taken(paper, rng, 1.0, bool(rng.random() < 0.3))]
        other = replace(any_way(rng, mirrored=False), tool=way.tool, passes=way.passes)
        other = replace(other, marks=way.marks, size=size)
        careful = redrawn(outline, rng, float(rng.uniform(0.3, 1)))
        try:
            forms = [form_in(each) for each in [*photos, drawn(careful, other, rng)]]
        except NoForm:
            continue
        told.append(
            Again(*((poses_of(one.form), lines_of(one.form, one.strokes)) for one in forms))
        )
    return told
