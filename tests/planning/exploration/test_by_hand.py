"""What somebody says of drawings holds, and the numbers follow.

What is checked against: n wholly different things score n, and one thing scores 1 (Friedman and
Dieng 2022, The Vendi Score, section 3).
"""

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.exploration.by_hand import Change, put_right
from planning.exploration.ideas import ideas_in
from planning.exploration.similarity import kernel

NAMES = "abcdefgh"


def told(chance: np.ndarray, copies: tuple[str, ...] = (), unread: str = "") -> dict[str, Any]:
    """As `comparison` says it of drawings a, b, c, …; each of `copies` is the first and the later,
    the later among the readable. `unread` could not be compared."""
    names = NAMES[: len(chance)]
    own = [n for n, name in enumerate(names) if name not in {pair[1] for pair in copies}]
    ideas = ideas_in(chance[np.ix_(own, own)])
    return {
        "groups": [[names[own[n]] for n in group] for group in ideas.groups],
        "copies": [list(pair) for pair in copies],
        "unreadable": [{"id": name, "code": "open_line"} for name in unread],
        "distinct": ideas.distinct,
        "low": ideas.low,
        "high": ideas.high,
        "readable": list(names),
        "similarity": kernel(chance).tolist(),
    }


def alike(*rows: str) -> np.ndarray:
    """Drawings in a row are surely one idea, those of two rows surely not."""
    names = sorted("".join(rows))
    of = {name: row for row in rows for name in row}
    return np.array([[float(of[one] == of[other]) for other in names] for one in names])


def after(what: dict[str, Any], *changes: tuple[str, str], order: str = NAMES) -> dict[str, Any]:
    said = [Change(kind, frozenset(names)) for kind, names in changes]  # type: ignore[arg-type]
    found = put_right(what, order, said)
    assert found is not None
    return found


def numbers(found: dict[str, Any]) -> list[float]:
    return [found["low"], found["distinct"], found["high"]]


def rows(found: dict[str, Any]) -> list[str]:
    return ["".join(group) for group in found["groups"]]


def test_joining_two_of_four_different_ones_leaves_three() -> None:
    found = after(told(alike("a", "b", "c", "d")), ("join", "bd"))
    assert rows(found) == ["a", "bd", "c"]
    assert numbers(found) == pytest.approx([3, 3, 3])


def test_joining_takes_along_what_was_one_with_them() -> None:
    found = after(told(alike("ac", "bd", "e")), ("join", "ab"))
    assert rows(found) == ["abcd", "e"]
    assert numbers(found) == pytest.approx([2, 2, 2])


def test_all_joined_are_one() -> None:
    found = after(told(alike("a", "b", "c")), ("join", "ab"), ("join", "bc"))
    assert rows(found) == ["abc"]
    assert numbers(found) == pytest.approx([1, 1, 1])


def test_separating_one_of_three_leaves_the_other_two_together() -> None:
    found = after(told(alike("abc", "d")), ("separate", "b"))
    assert rows(found) == ["ac", "b", "d"]
    assert numbers(found) == pytest.approx([3, 3, 3])


def test_separating_all_of_one_idea_makes_each_its_own() -> None:
    found = after(told(alike("abc")), ("separate", "abc"))
    assert rows(found) == ["a", "b", "c"]
    assert numbers(found) == pytest.approx([3, 3, 3])


def test_a_later_word_holds_over_an_earlier_one() -> None:
    what = told(alike("ab", "c"))
    found = put_right(
        what, NAMES, [Change("separate", frozenset("a")), Change("join", frozenset("ab"))]
    )
    assert found is None  # as it was


def test_a_copy_that_is_none_counts_and_one_that_is_joined_stands_for_its_first() -> None:
    what = told(alike("ab", "c"), copies=("ab",))
    assert rows(what) == ["a", "c"]
    parted = after(what, ("separate", "b"))
    assert (rows(parted), parted["copies"]) == (["a", "b", "c"], [])
    assert numbers(parted) == pytest.approx([3, 3, 3])
    joined = after(what, ("join", "bc"))
    assert (rows(joined), joined["copies"]) == (["ac"], [["a", "b"]])
    assert numbers(joined) == pytest.approx([1, 1, 1])


def test_what_could_not_be_compared_counts_once_somebody_says_what_it_is() -> None:
    what = told(alike("a", "b"), unread="cd")
    own = after(what, ("separate", "c"))
    assert (rows(own), [each["id"] for each in own["unreadable"]]) == (["a", "b", "c"], ["d"])
    assert numbers(own) == pytest.approx([3, 3, 3])
    one_more = after(what, ("join", "cd"))
    assert (rows(one_more), one_more["unreadable"]) == (["a", "b", "cd"], [])
    assert numbers(one_more) == pytest.approx([3, 3, 3])
    no_more = after(what, ("join", "ac"))
    assert rows(no_more) == ["ac", "b"]
    assert numbers(no_more) == pytest.approx([2, 2, 2])


def test_where_nothing_could_be_compared_what_somebody_says_is_all_there_is() -> None:
    what = told(np.empty((0, 0)), unread="ab")
    assert put_right(what, NAMES, []) is None
    found = after(what, ("separate", "ab"))
    assert rows(found) == ["a", "b"]
    assert numbers(found) == pytest.approx([2, 2, 2])


def test_words_about_drawings_that_are_gone_change_nothing() -> None:
    what = told(alike("a", "b"))
    changes = [Change("join", frozenset("ah")), Change("separate", frozenset("h"))]
    assert put_right(what, "ab", changes) is None


@st.composite
def some_told(draw: st.DrawFn) -> tuple[dict[str, Any], str]:
    count = draw(st.integers(2, 7))
    rng = np.random.default_rng(draw(st.integers(0, 10_000)))
    at = rng.normal(size=(count, 2))
    apart = ((at[:, None] - at[None]) ** 2).sum(axis=2)
    return told(np.exp(-apart)), NAMES[:count]


@given(some_told(), st.data())
def test_separating_never_lowers_and_joining_never_raises_a_number(
    some: tuple[dict[str, Any], str], data: st.DataObject
) -> None:
    what, names = some
    drawings = data.draw(st.sets(st.sampled_from(names), min_size=2))
    before = numbers(what)
    for kind in ("join", "separate"):
        found = put_right(what, names, [Change(kind, frozenset(drawings))])
        if found is None:
            continue
        assert sorted("".join(rows(found))) == list(names)
        low, distinct, high = numbers(found)
        assert low <= distinct <= high
        sign = 1 if kind == "separate" else -1
        assert sign * (distinct - before[1]) >= -1e-9
        assert sign * (high - before[2]) >= -1e-9
