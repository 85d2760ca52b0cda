"""Of very many drawings the few that may be one drawing of two people."""

from functools import cache

import numpy as np

from planning.exploration import side_by_side as module
from planning.exploration.reasons import NoForm
from planning.exploration.side_by_side import near_pairs, row_of, rows_of, same_drawings
from planning.exploration.silhouette import Drawn, form_in
from tests.planning.exploration.drawn import any_way, drawn, on_paper, taken
from tests.planning.exploration.ideas import FITTED, UNSEEN, redrawn
from tests.study.drawings import made_up

COUNT = 12


@cache
def pairs() -> list[tuple[Drawn, Drawn, Drawn]]:
    """A drawing, another photo of it (some mirrored, as through a window), another form."""
    told = []
    outlines = made_up(930_000, COUNT, FITTED + UNSEEN)
    for number, outline in enumerate(outlines):
        rng = np.random.default_rng(number)
        paper = on_paper(redrawn(outline, rng), any_way(rng, mirrored=False), rng)
        again = taken(paper, rng, 1.0, mirrored=number % 3 == 0)
        other = drawn(outlines[(number + 1) % COUNT], any_way(rng), rng)
        try:
            told.append((form_in(taken(paper, rng)), form_in(again), form_in(other)))
        except NoForm:
            continue
    return told


def test_another_photo_of_a_drawing_is_found_among_all_the_others() -> None:
    first, again, _ = zip(*pairs(), strict=True)
    count = len(first)
    every = np.array([row_of(each) for each in (*first, *again)])
    near = near_pairs([rows_of(each) for each in first], every, range(2 * count))
    assert {(n, n + count) for n in range(count)} <= set(near)
    found = [pair for pair in same_drawings(near, lambda n: (*first, *again)[n]) if pair]
    right = [pair for pair in found if pair.other == pair.one + count]
    assert len(right) >= 0.8 * count  # as of copies in general, `test_copies`
    assert all(pair.alike > 0.9 for pair in found)
    assert len(found) == len(right)


def test_other_forms_are_not_even_laid_on_each_other() -> None:
    first, _, other = zip(*pairs(), strict=True)
    every = np.array([row_of(each) for each in (*first, *other)])
    near = near_pairs([rows_of(each) for each in first], every, range(2 * len(first)))
    # `other` has the forms of `first` again, drawn another time: those may be near.
    apart = [(n, m) for n, m in near if (m - n) % len(first) not in (0, len(first) - 1)]
    assert apart == []


def test_two_drawings_of_one_person_are_no_pair_and_none_is_met_twice() -> None:
    first, again, _ = pairs()[0]
    every = np.array([row_of(each) for each in (first, again, first)])
    here = [rows_of(each) for each in (first, again)]
    assert near_pairs(here, every, ["Ana", "Ana", "Ana"]) == []
    assert set(near_pairs(here, every, ["Ana", "Ben", "Ana"])) == {(0, 1), (1, 2)}


def test_of_too_many_the_nearest_are_kept(monkeypatch) -> None:  # type: ignore[no-untyped-def]
    first, again, _ = pairs()[0]
    monkeypatch.setattr(module, "MOST_PAIRS", 1)
    every = np.array([row_of(each) for each in (first, again, first)])
    assert near_pairs([rows_of(first)], every, ["Ana", "Ben", "Cem"]) == [(0, 2)]


def test_a_row_has_length_one_and_says_nothing_of_size_or_place() -> None:
    first = pairs()[0][0]
    large = Drawn(
        np.kron(first.form, np.ones((2, 2), np.uint8)),
        np.kron(first.strokes, np.ones((2, 2), np.uint8)),
    )
    moved = Drawn(np.pad(first.form, ((0, 40), (60, 0))), np.pad(first.strokes, ((0, 40), (60, 0))))
    row = row_of(first)
    assert np.linalg.norm(row) == np.float32(1) or abs(np.linalg.norm(row) - 1) < 1e-5
    for other in (large, moved):
        assert float(row @ row_of(other)) > 0.985


def test_near_drawings_whose_lines_differ_are_no_pair() -> None:
    first, again, other = pairs()[0]
    told = list(same_drawings([(0, 1), (0, 2)], lambda n: (first, again, other)[n]))
    assert told[0] is not None
    assert told[1] is None
