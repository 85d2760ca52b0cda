"""Pictures in, numbers out, as the process of its own answers."""

import json
import subprocess
import sys
from functools import cache

import numpy as np
import pytest

from planning.exploration.reading import Unread
from planning.exploration.run import answer
from tests.planning.exploration.drawn import any_way, on_paper, taken
from tests.planning.exploration.ideas import UNSEEN, Array, redrawn
from tests.study.drawings import made_up

FORMS = made_up(200_300, 5, UNSEEN)


@cache
def paper(form: int, time: int) -> Array:
    rng = np.random.default_rng((form, time))
    return on_paper(redrawn(FORMS[form], rng, 0.7), any_way(rng), rng)


def photo(form: int, time: int = 0, shot: int = 0, *, mirrored: bool = False) -> Array:
    askew = 0.6 if shot else 0.2
    return taken(paper(form, time), np.random.default_rng((form, time, shot)), askew, mirrored)


def test_copies_are_set_aside_and_add_nothing() -> None:
    alone = answer([photo(0), photo(1), photo(0, 1)])
    copied = [photo(0), photo(1), photo(0, shot=1), photo(0, 1), photo(1, shot=2, mirrored=True)]
    more = answer(copied)
    assert more["copies"] == [[0, 2], [1, 4]]
    assert more["groups"] == [[0, 3], [1]]
    assert more["distinct"] == pytest.approx(alone["distinct"], abs=1e-9)
    assert alone["groups"] == [[0, 2], [1]]
    assert (more["low"], more["high"]) == pytest.approx((alone["low"], alone["high"]))


def test_the_same_drawing_sent_many_times_is_one_idea() -> None:
    told = answer([photo(2, shot=shot) for shot in range(5)])
    assert told["copies"] == [[0, later] for later in range(1, 5)]
    assert told["distinct"] == pytest.approx(1, abs=0.05)
    assert told["groups"] == [[0]]
    assert told["vendi"] == pytest.approx(1, abs=0.05)


def test_wholly_different_ideas_all_count() -> None:
    told = answer([photo(form) for form in range(5)])
    assert told["groups"] == [[n] for n in range(5)]
    assert told["distinct"] > 0.9 * 5
    assert told["high"] == 5


def test_what_is_no_drawing_is_told_and_the_others_keep_their_numbers() -> None:
    blank = np.full((300, 200), 240, np.uint8)
    broken = Unread("pdf_pages", {"pages": 3})
    pictures: list[Array | Unread] = [Unread("kind", {}), photo(0), blank, photo(1), broken]
    told = answer(iter(pictures))
    assert told["count"] == 5
    assert told["readable"] == [1, 3]
    assert told["groups"] == [[1], [3]]
    assert np.shape(told["similarity"]) == (2, 2)
    assert told["unreadable"] == [
        {"index": 0, "at": "file", "code": "kind", "values": {}},
        {"index": 2, "at": "drawing", "code": "nothing_drawn", "values": {}},
        {"index": 4, "at": "file", "code": "pdf_pages", "values": {"pages": 3}},
    ]
    assert json.loads(json.dumps(told)) == told


@pytest.mark.parametrize("pictures", [[], [np.full((300, 200), 240, np.uint8)]])
def test_without_a_drawing_everything_is_nothing(pictures: list[Array]) -> None:
    told = answer(pictures)
    assert (told["count"], told["readable"], told["groups"]) == (len(pictures), [], [])
    assert (told["distinct"], told["low"], told["high"], told["vendi"]) == (0, 0, 0, 0)
    assert (told["copies"], told["similarity"]) == ([], [])


def test_it_needs_no_framework() -> None:
    code = (
        "import sys, planning.exploration.run; "
        "assert not {'django', 'rest_framework', 'studio'} & {m.split('.')[0] for m in sys.modules}"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def test_the_order_of_drawings_changes_no_group() -> None:
    order = [3, 0, 4, 1]
    forms = [(0, 0), (1, 0), (0, 1), (2, 0), (1, 1)]
    straight = answer([photo(*each) for each in forms])["groups"]
    other = answer([photo(*forms[n]) for n in order])["groups"]
    named = {frozenset(order[n] for n in group) for group in other}
    assert named == {frozenset(group) - {2} for group in straight}
