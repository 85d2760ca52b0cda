"""Whether a form that is cut from paper or modelled in clay counts as the idea that its drawing is;
none of these photos was tuned on.

Run: python -m tests.study.solids (a minute), or as a part of make study
"""

import sys
from collections.abc import Callable, Iterator

import numpy as np

from planning.exploration import fitted
from planning.exploration.poses import Poses, poses_of
from planning.exploration.reasons import NoForm
from planning.exploration.silhouette import form_in
from planning.exploration.similarity import compared, likeness
from tests.planning.exploration.drawn import any_way, drawn
from tests.planning.exploration.ideas import FITTED, UNSEEN, Array, redrawn
from tests.planning.exploration.solids import cut_out, modelled

from .drawings import made_up

FIRST = 1_200_000
FORMS = 120

Photo = Callable[[Array, np.random.Generator], Array]


def by_hand(outline: Array, rng: np.random.Generator) -> Array:
    return drawn(redrawn(outline, rng), any_way(rng), rng)


def poses(forms: list[Array], photo: Photo, seed: int) -> dict[int, Poses]:
    """Of the forms that could be read, by their numbers."""
    told = {}
    for number, form in enumerate(forms):
        try:
            told[number] = poses_of(
                form_in(photo(form, np.random.default_rng((seed, number)))).form
            )
        except NoForm:
            continue
    return told


def same_idea(drawings: dict[int, Poses], others: dict[int, Poses]) -> tuple[float, float]:
    """Of the pairs of a drawing and another picture those that count as one idea: where it is of
    the same form, and where it isn't."""
    alike = likeness(compared([*drawings.values(), *others.values()]).distances)
    across = alike[: len(drawings), len(drawings) :] > fitted.SAME
    same = np.equal.outer(list(drawings), list(others))
    return float(across[same].mean()), float(across[~same].mean())


def table(first: int = FIRST, count: int = FORMS) -> Iterator[str]:
    yield f"{'the same idea as its drawing':34} {'forms':>6} {'read':>6} {'same':>6} {'others':>6}"
    forms = made_up(first, count, FITTED + UNSEEN)
    drawings = poses(forms, by_hand, first)
    photos: tuple[tuple[str, Photo], ...] = (
        ("drawn again", by_hand),
        ("cut from paper", cut_out),
        ("modelled in clay", modelled),
    )
    for number, (name, photo) in enumerate(photos, 1):
        others = poses(forms, photo, first + number)
        same, other = same_idea(drawings, others)
        yield f"{name:34} {count:6} {len(others) / count:6.1%} {same:6.1%} {other:6.1%}"


if __name__ == "__main__":
    for line in table():
        sys.stdout.write(line + "\n")
        sys.stdout.flush()
