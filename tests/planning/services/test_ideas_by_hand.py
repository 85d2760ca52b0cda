"""A teacher's word on which drawings are one idea is kept, holds, and can be undone."""

from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied

from planning.models import IdeaChange, Ideas, Piece, Thumbnail
from planning.services.choosing import GateShut, choose_design
from planning.services.drawings import withdraw
from planning.services.ideas_by_hand import change_ideas, undo_change
from studio.errors import Refused
from studio.people.models import AuditEntry, User
from tests.cast import NOW, School
from tests.planning.drawings import as_compared, ideas_of, picture, run_all, sent
from tests.planning.projects import a_brief, given
from tests.planning.work import a_piece, draw, piece_of

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]
JOIN, SEPARATE = IdeaChange.Kind.JOIN, IdeaChange.Kind.SEPARATE


def change(
    piece: Piece, kind: IdeaChange.Kind, drawn: list[Thumbnail], by: User, reason: str = "Look"
) -> IdeaChange:
    ids = [str(each.pk) for each in drawn]
    return change_ideas(piece=piece, kind=kind, thumbnails=ids, reason=reason, by=by, at=NOW)


def compared(cast: School, count: int = 4) -> tuple[Piece, list[Thumbnail]]:
    piece = a_piece(cast)
    drawn = draw(cast, piece, count)
    as_compared(piece, count)
    return piece, drawn


def test_what_is_joined_counts_as_one_until_it_is_undone(cast: School) -> None:
    piece, drawn = compared(cast)
    kept = change(piece, JOIN, drawn[:2], cast.teacher, " One jug, twice ")
    ids = [str(each.pk) for each in drawn]
    assert ideas_of(piece).most == 3
    told = ideas_of(piece).told
    assert told is not None
    assert told["groups"] == [[ids[0], ids[1]], [ids[2]], [ids[3]]]
    assert (kept.reason, kept.by, kept.at) == ("One jug, twice", cast.teacher, NOW)
    entry = AuditEntry.objects.get(action="ideas joined")
    assert entry.after == {"thumbnails": sorted(ids[:2]), "reason": "One jug, twice"}
    undo_change(change=kept, by=cast.teacher, at=NOW)
    undo_change(change=kept, by=cast.teacher, at=NOW)
    assert AuditEntry.objects.filter(action="ideas put back").count() == 1
    assert (ideas_of(piece).most, ideas_of(piece).put_right) == (4, None)
    assert IdeaChange.objects.get().undone_at == NOW


def test_what_is_separated_opens_a_gate_and_the_choice_keeps_the_number(cast: School) -> None:
    brief = a_brief(cast.teacher, "Six ideas", least_distinct_ideas=6)
    (assignment,) = given(cast.teacher, cast.section, brief=brief)
    piece = piece_of(assignment, cast.student)
    drawn = draw(cast, piece, 6)
    ids = [str(each.pk) for each in drawn]
    groups = [[ids[0], ids[1]], *([pk] for pk in ids[2:])]
    as_compared(piece, 5, groups=groups)

    def choose() -> float | None:
        return choose_design(
            piece=piece, thumbnail=drawn[0], reason="Yes", by=cast.student, at=NOW
        ).distinct

    with pytest.raises(GateShut, match="1 more distinct idea"):
        choose()
    change(piece, SEPARATE, [drawn[1]], cast.teacher)
    assert choose() == pytest.approx(6)


def test_it_holds_when_drawings_come_and_go_and_are_compared_anew(cast: School) -> None:
    piece = a_piece(cast)
    drawn = [sent(piece, picture(form)) for form in range(3)]
    run_all()
    assert ideas_of(piece).most == 3
    change(piece, JOIN, drawn[:2], cast.teacher)
    drawn.append(sent(piece, picture(3)))
    run_all()
    assert (ideas_of(piece).count, ideas_of(piece).most) == (4, 3)
    withdraw(drawing=drawn[0], by=cast.student, at=NOW)
    run_all()
    assert (ideas_of(piece).most, ideas_of(piece).put_right) == (3, None)


def test_undoing_where_nothing_is_compared_any_more_only_keeps_that_it_was_undone(
    cast: School,
) -> None:
    piece, drawn = compared(cast)
    kept = change(piece, JOIN, drawn[:2], cast.teacher)
    Ideas.objects.all().delete()
    undo_change(change=kept, by=cast.head, at=NOW)
    assert IdeaChange.objects.get().undone_at == NOW


def test_it_is_refused_with_a_reason_and_nothing_is_kept(cast: School) -> None:
    piece, drawn = compared(cast)
    cases = [
        (JOIN, drawn[:2], " ", "Write the reason"),
        (JOIN, drawn[:1], "Look", "Tick two drawings or more."),
        (SEPARATE, [], "Look", "Tick a drawing first."),
        (SEPARATE, drawn[:1], "Look", "They are different already."),
        (JOIN, [drawn[0], Thumbnail(pk=uuid4())], "Look", "no longer there"),
    ]
    for kind, some, reason, why in cases:
        with pytest.raises(Refused, match=why):
            change(piece, kind, some, cast.teacher, reason)
    kept = change(piece, JOIN, drawn[:2], cast.teacher)
    with pytest.raises(Refused, match="They are one idea already"):
        change(piece, JOIN, drawn[:2], cast.teacher)
    for somebody in (cast.other_teacher, cast.student):
        with pytest.raises(PermissionDenied):
            change(piece, JOIN, drawn[:2], somebody)
        with pytest.raises(PermissionDenied):
            undo_change(change=kept, by=somebody, at=NOW)
    Ideas.objects.update(answer=None)
    with pytest.raises(Refused, match="could not be compared"):
        change(piece, SEPARATE, drawn[:1], cast.teacher)
    Ideas.objects.all().delete()
    with pytest.raises(Refused, match="are being compared"):
        change(piece, SEPARATE, drawn[:1], cast.teacher)
    assert IdeaChange.objects.count() == 1
