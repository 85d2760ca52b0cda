"""A level is suggested by what was asked and reached, and by nothing else."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.scoring.suggesting import Reached, suggested_level

counts = st.lists(
    st.builds(Reached, st.integers(0, 40), st.integers(0, 20), st.integers(0, 5)), min_size=1
)


@pytest.mark.parametrize(
    ("levels", "done", "place"),
    [
        (4, 6, 2),  # all of the six: the level below the highest
        (4, 60, 2),  # the highest is for what no count shows
        (4, 5, 1),
        (4, 3, 1),
        (4, 2, 0),
        (5, 6, 3),
        (5, 3, 2),
        (3, 6, 1),
        (3, 5, 0),
        (2, 6, 1),
        (2, 5, 0),
        (1, 0, 0),
    ],
)
def test_the_count_furthest_behind_decides(levels: int, done: int, place: int) -> None:
    assert suggested_level(levels, [Reached(9, 3), Reached(done, 6), Reached(0, 0)]) == place


def test_nothing_is_suggested_where_it_hangs_on_what_is_not_known() -> None:
    assert suggested_level(4, [Reached(2, 3, unknown=1)]) is None
    assert suggested_level(4, [Reached(3, 3, unknown=4)]) == 2
    assert suggested_level(4, [Reached(1, 6), Reached(2, 3, unknown=1)]) == 0


@given(st.integers(1, 6), counts, st.integers(0, 10))
def test_drawing_more_never_lowers_it(levels: int, reached: list[Reached], more: int) -> None:
    before = suggested_level(levels, reached)
    first, *rest = reached
    after = suggested_level(
        levels, [Reached(first.done + more, first.wanted, first.unknown), *rest]
    )
    if before is not None and after is not None:
        assert 0 <= before <= after < levels
