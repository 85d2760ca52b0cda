"""A teacher ticks drawings, says why, and the student sees the rows as they were put right."""

import pytest
from django.urls import reverse

from planning.models import IdeaChange, Ideas, Piece, Thumbnail
from tests.cast import School, signed_in
from tests.planning.drawings import as_compared
from tests.planning.views.test_choosing import page, words
from tests.planning.work import a_piece, draw

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def said(cast: School, piece: Piece, drawn: list[Thumbnail], **more: str) -> str:
    data = {"thumbnails": [str(each.pk) for each in drawn], "reason": "The same bowl"} | more
    address = reverse("ideas_by_hand", args=[piece.pk])
    return words(signed_in(cast.teacher).post(address, data, follow=True).content.decode())


def test_joined_by_hand_undone_and_seen_by_the_student(cast: School) -> None:
    piece = a_piece(cast)
    drawn = draw(cast, piece, 6)
    ids = [str(each.pk) for each in drawn]
    why = {"id": ids[5], "at": "drawing", "code": "open_line", "values": {}}
    as_compared(
        piece,
        5,
        groups=[[ids[0], ids[1]], [ids[2]], [ids[3]]],
        copies=[[ids[0], ids[4]]],
        unreadable=[why],
        readable=ids[:5],
        similarity=[[float(n == m) for n in range(5)] for m in range(5)],
    )
    text = said(cast, piece, drawn[2:4], kind="join")
    assert "Kept. The student sees the rows as you said." in text
    assert "One idea, said" in text
    assert "The same bowl" in text
    student = words(page(cast, piece))
    assert "A teacher looked at your drawings and put these rows right." in student
    assert "The same bowl" not in student
    assert student.count("are one idea.") == 2
    teacher = signed_in(cast.teacher)
    seen = words(teacher.get(reverse("piece_seen", args=[piece.pk])).content.decode())
    assert "A teacher put these rows right." in seen
    undo = reverse("idea_change_undo", args=[IdeaChange.objects.get().pk])
    text = words(teacher.post(undo, follow=True).content.decode())
    assert "Undone. The rows are as they were without it." in text
    assert "Undone today." in text
    assert "put these rows right" not in words(page(cast, piece))


def test_what_is_missing_is_said_and_what_was_ticked_stays(cast: School) -> None:
    piece = a_piece(cast)
    drawn = draw(cast, piece, 3)
    as_compared(piece, 3)
    assert "Drawings: Tick the drawings first." in said(cast, piece, [], kind="join")
    assert "Say whether these are one idea or different ones." in said(cast, piece, drawn[:2])
    assert "Drawings: Tick two drawings or more." in said(cast, piece, drawn[:1], kind="join")
    address = reverse("ideas_by_hand", args=[piece.pk])
    data = {"thumbnails": [str(drawn[1].pk)], "reason": "", "kind": "separate"}
    html = signed_in(cast.teacher).post(address, data).content.decode()
    ticked = [str(each.pk) for each in drawn if f'value="{each.pk}" checked' in html]
    assert ticked == [str(drawn[1].pk)]
    assert not IdeaChange.objects.exists()


def test_where_nothing_can_be_put_right_the_page_says_why(cast: School) -> None:
    piece = a_piece(cast)
    address = reverse("ideas_by_hand", args=[piece.pk])
    teacher = signed_in(cast.teacher)

    def text() -> str:
        return words(teacher.get(address).content.decode())

    assert "No drawing yet." in text()
    draw(cast, piece, 2)
    assert "The drawings are being compared." in text()
    as_compared(piece, 2)
    Ideas.objects.update(answer=None)
    assert "These drawings could not be compared." in text()
    piece.assignment.ideas_counted = False
    piece.assignment.save()
    assert "Ideas are not counted in this class." in text()
