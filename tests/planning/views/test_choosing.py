"""Before the choice a student sees which drawings are one idea, and what the gate waits for."""

import re
from html import unescape

import pytest
from django.urls import reverse

from planning.models import Choice, Ideas, Piece, Thumbnail
from planning.services.choosing import GateShut, choose_design, let_through
from planning.services.drawings import add_thumbnail, withdraw
from studio.errors import Refused
from tests.cast import NOW, School, signed_in
from tests.planning.drawings import as_compared
from tests.planning.projects import a_brief, given
from tests.planning.work import a_piece, draw, photo, piece_of, ready

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def a_gated_piece(cast: School, least: int = 3) -> Piece:
    brief = a_brief(cast.teacher, "Three ideas at least", least_distinct_ideas=least)
    (assignment,) = given(cast.teacher, cast.section, brief=brief)
    return piece_of(assignment, cast.student)


def words(html: str) -> str:
    """Without its tags, in one line."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def page(cast: School, piece: Piece, name: str = "choose") -> str:
    return signed_in(cast.student).get(reverse(name, args=[piece.pk])).content.decode()


def choose(cast: School, piece: Piece, thumbnail: Thumbnail) -> Choice:
    return choose_design(piece=piece, thumbnail=thumbnail, reason="Yes", by=cast.student, at=NOW)


def test_the_rows_say_what_is_one_idea_what_is_a_copy_and_what_could_not_be_read(
    cast: School,
) -> None:
    piece = a_piece(cast)
    drawn = draw(cast, piece, 6)
    ids = [str(each.pk) for each in drawn]
    why = {"id": ids[5], "at": "drawing", "code": "open_line", "values": {}}
    as_compared(
        piece,
        3,
        groups=[[ids[0], ids[1], ids[2]], [ids[3]]],
        copies=[[ids[0], ids[4]]],
        unreadable=[why],
        distinct=1.9,
        low=1.2,
        high=2.0,
        shapes={pk: ["tall", "middle"] for pk in ids[:5]},
    )
    text = words(page(cast, piece))
    assert "About 2 ideas; between 1 and 3." in text
    assert "These 3 are one idea." in text
    assert "This one is an idea of its own." in text
    assert "The same drawing again; it counts once." in text
    assert "This one could not be compared; it may be an idea of its own." in text
    assert "The outline doesn't close" in text
    assert "All 5 are tall and narrow. Try a low or a wide one." in text
    # Advice: no word of the gate, and the choice stands open.
    assert "Before you choose" not in text
    assert "About 2 ideas; between 1 and 3." in words(page(cast, piece, "piece"))
    choice = choose(cast, piece, drawn[0])
    kept = (choice.thumbnail_count, choice.distinct, choice.low, choice.high)
    assert kept == (6, 1.9, 1.2, 2.0)


def test_drawings_under_comparison_are_said_to_be_and_block_no_choice_that_asks_no_ideas(
    cast: School,
) -> None:
    piece = a_piece(cast)
    drawn = draw(cast, piece, 6)
    for name in ("choose", "piece"):
        assert "Your drawings are being compared." in page(cast, piece, name)
    choice = choose(cast, piece, drawn[0])
    assert (choice.thumbnail_count, choice.distinct) == (6, None)


def test_one_drawing_is_one_idea_and_nothing_drawn_is_nothing(cast: School) -> None:
    piece = a_piece(cast)
    assert 'id="ideas"' not in page(cast, piece)
    draw(cast, piece, 1)
    as_compared(piece, 1)
    text = words(page(cast, piece))
    assert "About 1 idea." in text
    assert "It is tall and narrow. Try a low or a wide one." in text


def test_drawings_of_every_kind_get_no_advice(cast: School) -> None:
    piece = a_piece(cast)
    ids = [str(each.pk) for each in draw(cast, piece, 3)]
    kinds = (["tall", "foot"], ["low", "top"], ["even", "middle"])
    as_compared(piece, 3, shapes=dict(zip(ids, kinds, strict=True)))
    text = words(page(cast, piece))
    assert "About 3 ideas." in text
    assert "Try" not in text


def test_where_nothing_could_be_read_there_is_no_number(cast: School) -> None:
    piece = a_piece(cast)
    (only,) = draw(cast, piece, 1)
    why = {"id": str(only.pk), "at": "file", "code": "gave_up", "values": {}}
    as_compared(piece, 1, groups=[], unreadable=[why], shapes={})
    text = page(cast, piece)
    assert "About" not in text
    assert "it may be an idea of its own" in text


def test_a_comparison_that_failed_is_held_against_nobody(cast: School) -> None:
    piece = a_gated_piece(cast, 6)
    drawn = draw(cast, piece, 6)
    as_compared(piece, 6)
    Ideas.objects.update(answer=None)
    assert "could not be compared this time" in page(cast, piece)
    assert choose(cast, piece, drawn[0]).distinct is None


def test_the_gate_counts_the_upper_end_of_the_range(cast: School) -> None:
    piece = a_gated_piece(cast, 3)
    drawn = draw(cast, piece, 6)
    with pytest.raises(GateShut) as waits:
        choose(cast, piece, drawn[0])
    assert str(waits.value) == "Your drawings are being compared. Wait a moment, then choose."
    as_compared(piece, 1)
    with pytest.raises(GateShut) as shut:
        choose(cast, piece, drawn[0])
    assert str(shut.value) == "Before you choose: 2 more distinct ideas."
    assert "Before you choose: 2 more distinct ideas." in page(cast, piece)
    text = words(page(cast, piece, "piece"))
    assert "up to 1 distinct idea, 3 asked" in text
    assert "You have explored enough" not in text
    as_compared(piece, 3, distinct=1.5, low=1.0)
    assert "You have explored enough" in page(cast, piece, "piece")
    assert choose(cast, piece, drawn[0]).high == 3


def test_a_gate_shut_for_ideas_says_why_and_what_to_draw_next(cast: School) -> None:
    piece = a_gated_piece(cast, 3)
    ids = [str(each.pk) for each in draw(cast, piece, 6)]
    shapes = {each: ["tall", "top"] for each in ids}
    as_compared(piece, 2, groups=[ids[:4], ids[4:]], shapes=shapes)
    text = words(page(cast, piece))
    why = (
        "The brief asks for 3 different ideas. Your drawings show at most 2, since a form that is "
        "drawn again counts once: look at the rows below. Draw one that looks like none of them. "
        "All 6 are tall and narrow. Try a low or a wide one."
    )
    assert why in text
    assert text.count("Try a low or a wide one.") == 1
    assert text.index(why) < text.index("These 4 are one idea.")
    # Nothing that could only be refused.
    assert "Choose this one" not in text
    assert "Add a drawing" in text
    assert "Why, and what to draw next" in words(page(cast, piece, "piece"))
    as_compared(piece, 3, groups=[[each] for each in ids], shapes=shapes)
    text = words(page(cast, piece))
    assert "The brief asks" not in text
    assert "Choose this one" in text
    assert "Why, and what" not in words(page(cast, piece, "piece"))


def test_a_choice_is_offered_while_drawings_are_compared_and_not_before_there_are_enough(
    cast: School,
) -> None:
    piece = a_gated_piece(cast, 3)
    drawn = draw(cast, piece, 6)
    text = words(page(cast, piece))
    assert "Choose this one" in text
    assert "Add a drawing" not in text
    withdraw(drawing=drawn[5], by=cast.student, at=NOW)
    text = words(page(cast, piece))
    assert "Choose this one" not in text
    assert "Add a drawing" in text


def test_what_was_sent_from_an_older_page_is_refused_and_not_lost(cast: School) -> None:
    piece = a_gated_piece(cast, 3)
    drawn = draw(cast, piece, 5)
    sent = {"thumbnail": str(drawn[0].pk), "reason": "Its shoulder holds the light."}
    answer = signed_in(cast.student).post(reverse("choose", args=[piece.pk]), sent)
    text = answer.content.decode()
    assert "Before you choose: 1 more thumbnail." in text
    assert "Its shoulder holds the light." in text


def test_all_that_is_missing_stands_in_one_sentence(cast: School) -> None:
    piece = a_gated_piece(cast, 3)
    (drawing,) = draw(cast, piece, 1)
    as_compared(piece, 1)
    with pytest.raises(Refused) as shut:
        choose(cast, piece, drawing)
    assert str(shut.value) == (
        "Before you choose: 5 more thumbnails, 2 more source forms and 2 more distinct ideas."
    )


def test_an_answer_for_other_drawings_does_not_count(cast: School) -> None:
    piece = a_gated_piece(cast, 3)
    drawn = draw(cast, piece, 7)
    as_compared(piece, 3)
    withdraw(drawing=drawn[6], by=cast.student, at=NOW)
    with pytest.raises(GateShut, match="being compared"):
        choose(cast, piece, drawn[0])
    # One for another, so that there are as many as before.
    ready(_one_more(piece))
    with pytest.raises(GateShut, match="being compared"):
        choose(cast, piece, drawn[0])
    assert "Your drawings are being compared." in page(cast, piece)


def _one_more(piece: Piece) -> Thumbnail:
    return add_thumbnail(piece=piece, by=piece.student, file=photo(99), at=NOW)


def test_a_teacher_opens_it_and_once_passed_it_stays_open(cast: School) -> None:
    piece = a_gated_piece(cast, 3)
    drawn = draw(cast, piece, 6)
    as_compared(piece, 1)
    let_through(piece=piece, reason="Ideas in clay", by=cast.teacher, at=NOW)
    piece.refresh_from_db()
    choose(cast, piece, drawn[0])
    piece.let_through.delete()
    assert choose(cast, Piece.objects.get(pk=piece.pk), drawn[1]).thumbnail == drawn[1]


def test_a_teacher_sees_the_same_rows_and_a_technician_none(cast: School) -> None:
    piece = a_piece(cast)
    address = reverse("piece_seen", args=[piece.pk])
    ids = [str(each.pk) for each in draw(cast, piece, 2)]
    assert (
        "The drawings are being compared." in signed_in(cast.teacher).get(address).content.decode()
    )
    as_compared(piece, 1, groups=[ids], distinct=1.0)
    text = words(signed_in(cast.teacher).get(address).content.decode())
    assert "About 1 idea." in text
    assert "These 2 are one idea." in text
    assert "one idea" not in signed_in(cast.technician).get(address).content.decode()
    Ideas.objects.update(answer=None)
    text = words(signed_in(cast.teacher).get(address).content.decode())
    assert "The drawings could not be compared this time." in text


def test_a_class_whose_ideas_are_not_counted_sees_nothing_of_it_and_chooses(cast: School) -> None:
    piece = a_gated_piece(cast, 4)
    drawn = draw(cast, piece, 6)
    as_compared(piece, 2)
    assignment = reverse("assignment", args=[piece.assignment_id])
    teacher = signed_in(cast.teacher)
    assert "The choice waits for 4 distinct ideas." in words(
        teacher.get(assignment).content.decode()
    )
    switch = reverse("assignment_ideas", args=[piece.assignment_id])
    said = teacher.post(switch, {"counted": "perhaps"}, follow=True).content.decode()
    assert "Say whether ideas are counted: yes or no." in said
    said = words(teacher.post(switch, {"counted": "no"}, follow=True).content.decode())
    assert "Ideas are no longer counted in this class." in said
    assert "Count ideas again" in said
    for name in ("choose", "piece"):
        text = words(page(cast, piece, name))
        assert not re.search(r"distinct idea|About \d|one idea|compared", text)
    assert "distinct" not in signed_in(cast.student).get(assignment).content.decode()
    assert 'id="ideas"' not in teacher.get(reverse("piece_seen", args=[piece.pk])).content.decode()
    piece = Piece.objects.get(pk=piece.pk)
    choice = choose(cast, piece, drawn[0])
    assert (choice.thumbnail_count, choice.distinct) == (6, None)
    said = words(teacher.post(switch, {"counted": "yes"}, follow=True).content.decode())
    assert "Ideas are counted again; the drawings are being compared." in said
    assert "Don't count ideas in this class" in said


def test_a_teacher_sees_the_way_to_the_choice_and_a_technician_does_not(cast: School) -> None:
    piece = a_piece(cast)
    drawn = draw(cast, piece, 6)
    as_compared(piece, 5)
    choose(cast, piece, drawn[0])
    address = reverse("piece_seen", args=[piece.pk])
    text = words(signed_in(cast.teacher).get(address).content.decode())
    assert "From first drawing to choice" in text
    assert "About 5 ideas by then." in text
    assert "The chosen one is the first drawing of 6." in text
    text = words(signed_in(cast.technician).get(address).content.decode())
    assert "From first drawing" not in text
