"""Pictures of drawings in, how many ideas they show out, in plain numbers.

Nothing here needs Django, a database or a file.
"""

from collections.abc import Iterable
from typing import Any, Final

from planning.tracing.arrays import Floats, Gray

from . import fitted
from .copies import Lines, coincidence, lines_of
from .ideas import ideas_in
from .poses import WAYS, Poses, poses_of
from .reading import Unread, read
from .silhouette import Drawn
from .similarity import Compared, compared, kernel, likeness
from .vendi import vendi_score

MOST_DRAWINGS: Final = 60

ALIKE: Final = 0.97
"""Forms that are less likely one idea aren't looked at line by line."""


def answer(pictures: Iterable[Gray | Unread]) -> dict[str, Any]:
    """What drawings come to, each an upright picture, gray or RGB, 8 bits; ready for JSON.

    Pictures are taken one at a time and not kept. What it says: `comparison`.
    """
    return comparison(map(read, pictures))


def comparison(drawings: Iterable[Drawn | Unread]) -> dict[str, Any]:
    """What drawings come to of which this was read; ready for JSON.

    Numbers of drawings count from 0 in the order given. `readable` are those that show a form,
    `similarity` is over these; `copies` are pairs of a drawing and a later one that is the same
    again; `groups` hold the rest by idea; `distinct`, from `low` to `high`, is the effective number
    of ideas, `vendi` that over all readable ones. `unreadable` says by `code` and `values` why, and
    by `at` whether the file or the drawing.
    """
    readable: list[int] = []
    unreadable: list[dict[str, Any]] = []
    shapes: list[tuple[Poses, Lines]] = []
    count = 0
    for number, drawn in enumerate(drawings):
        count += 1
        if isinstance(drawn, Unread):
            unreadable.append({"index": number, **drawn.told})
            continue
        readable.append(number)
        shapes.append((poses_of(drawn.form), lines_of(drawn.form, drawn.strokes)))
    return {
        "count": count,
        "readable": readable,
        "unreadable": unreadable,
        **_compared(readable, shapes),
    }


def _compared(readable: list[int], read: list[tuple[Poses, Lines]]) -> dict[str, Any]:
    if not read:
        nothing: dict[str, Any] = {"distinct": 0.0, "low": 0.0, "high": 0.0, "vendi": 0.0}
        return nothing | {"groups": [], "copies": [], "similarity": []}
    every = compared([poses for poses, _ in read])
    chance = likeness(every.distances)
    copies = _copies([lines for _, lines in read], every, chance)
    own = [n for n in range(len(read)) if n not in {later for _, later in copies}]
    ideas = ideas_in(chance[own][:, own])
    similarity = kernel(chance)
    return {
        "distinct": ideas.distinct,
        "low": ideas.low,
        "high": ideas.high,
        "vendi": vendi_score(similarity),
        "groups": [[readable[own[n]] for n in group] for group in ideas.groups],
        "copies": [[readable[n] for n in pair] for pair in copies],
        "similarity": similarity.tolist(),
    }


def _copies(lines: list[Lines], every: Compared, chance: Floats) -> list[tuple[int, int]]:
    """Each drawing that is the same as an earlier one, with the first such."""
    copies: list[tuple[int, int]] = []
    first = list(range(len(lines)))
    for later in range(len(lines)):
        for earlier in range(later):
            if first[earlier] != earlier or chance[earlier, later] < ALIKE:
                continue
            way = WAYS[every.ways[earlier, later]]
            if coincidence(lines[earlier], lines[later], way, fitted.COPY) > fitted.COPY:
                first[later] = earlier
                copies.append((earlier, later))
                break
    return copies
