"""Two teachers put one student's ideas right at the same moment."""

from functools import partial

import pytest

from planning.models import IdeaChange
from planning.services.ideas_by_hand import change_ideas, undo_change
from studio.people.models import AuditEntry
from tests.cast import NOW, School
from tests.planning.drawings import as_compared, ideas_of
from tests.planning.work import a_piece, draw
from tests.studio.ware.services.test_races import at_once

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]
JOIN, SEPARATE = IdeaChange.Kind.JOIN, IdeaChange.Kind.SEPARATE


def test_both_words_hold_and_neither_is_lost(cast: School) -> None:
    piece = a_piece(cast)
    ids = [str(each.pk) for each in draw(cast, piece)]
    as_compared(piece, 6)
    join = partial(change_ideas, piece=piece, kind=JOIN, reason="One jug", at=NOW)
    said = at_once(
        lambda: join(thumbnails=ids[:2], by=cast.teacher),
        lambda: join(thumbnails=ids[2:4], by=cast.head),
    )
    assert said == ["", ""]
    answer = ideas_of(piece).told
    assert answer is not None
    assert answer["groups"] == [ids[:2], ids[2:4], [ids[4]], [ids[5]]]
    assert ideas_of(piece).most == 4


def test_the_same_word_twice_is_said_once(cast: School) -> None:
    piece = a_piece(cast)
    ids = [str(each.pk) for each in draw(cast, piece)]
    as_compared(piece, 6)
    said = at_once(
        *(
            lambda by=by: change_ideas(
                piece=piece, kind=JOIN, thumbnails=ids[:2], reason="One", by=by, at=NOW
            )
            for by in (cast.teacher, cast.head)
        )
    )
    assert said == ["", "They are one idea already."]
    assert (IdeaChange.objects.count(), ideas_of(piece).most) == (1, 5)


def test_joining_and_separating_come_in_some_order_and_what_is_kept_follows_from_it(
    cast: School,
) -> None:
    piece = a_piece(cast)
    ids = [str(each.pk) for each in draw(cast, piece)]
    as_compared(piece, 5, groups=[ids[:2], *([pk] for pk in ids[2:])])
    change = partial(change_ideas, piece=piece, reason="Look", at=NOW)
    said = at_once(
        lambda: change(kind=JOIN, thumbnails=ids[1:3], by=cast.teacher),
        lambda: change(kind=SEPARATE, thumbnails=ids[1:2], by=cast.head),
    )
    assert said == ["", ""]
    kept = ideas_of(piece)
    assert kept.told is not None
    groups = sorted(kept.told["groups"])
    # Joined first: the three are one, then the middle one leaves. Separated first: it joins anew.
    first = sorted([[ids[0], ids[2]], [ids[1]], *([pk] for pk in ids[3:])])
    then = sorted([[ids[0]], ids[1:3], *([pk] for pk in ids[3:])])
    assert groups in (first, then)


def test_a_word_that_two_take_back_is_taken_back_once(cast: School) -> None:
    piece = a_piece(cast)
    ids = [str(each.pk) for each in draw(cast, piece)]
    as_compared(piece, 6)
    change = change_ideas(
        piece=piece, kind=JOIN, thumbnails=ids[:2], reason="One", by=cast.teacher, at=NOW
    )
    said = at_once(
        *(
            lambda by=by: undo_change(change=change, by=by, at=NOW)
            for by in (cast.teacher, cast.head)
        )
    )
    assert said == ["", ""]
    assert AuditEntry.objects.filter(action="ideas put back").count() == 1
    assert ideas_of(piece).most == 6
