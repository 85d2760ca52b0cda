"""A design is chosen after exploring, or with a teacher's word."""

import pytest
from django.core.exceptions import PermissionDenied

from planning.models import Choice, SourceForm, Thumbnail
from planning.services.choosing import GateShut, choose_design, let_through
from planning.services.drawings import (
    add_refinement,
    add_thumbnail,
    bring_back,
    describe_thumbnail,
    move_thumbnail,
    withdraw,
)
from studio.errors import Refused
from studio.people.models import AuditEntry
from tests.cast import NOW, School
from tests.planning.work import a_piece, choose, draw, photo, refine

pytestmark = pytest.mark.both_databases


def test_the_gate_says_how_much_is_missing(cast: School) -> None:
    piece = a_piece(cast)
    drawn = draw(cast, piece, 2)
    with pytest.raises(GateShut) as refusal:
        choose_design(piece=piece, thumbnail=drawn[0], reason="Yes", by=cast.student, at=NOW)
    assert str(refusal.value) == ("Before you choose: 4 more thumbnails and 1 more source form.")
    assert not Choice.objects.exists()


def test_withdrawn_and_unread_drawings_do_not_count(cast: School) -> None:
    piece = a_piece(cast)
    drawn = draw(cast, piece, 6)
    withdraw(drawing=drawn[5], by=cast.student, at=NOW)
    add_thumbnail(piece=piece, by=cast.student, file=photo(77), at=NOW)
    with pytest.raises(GateShut, match="1 more thumbnail"):
        choose_design(piece=piece, thumbnail=drawn[0], reason="Yes", by=cast.student, at=NOW)
    bring_back(drawing=drawn[5], by=cast.student)
    choose_design(piece=piece, thumbnail=drawn[0], reason="Yes", by=cast.student, at=NOW)


def test_a_gate_once_passed_stays_passed(cast: School) -> None:
    piece = a_piece(cast)
    drawn = draw(cast, piece, 6)
    choose_design(piece=piece, thumbnail=drawn[5], reason="The foot", by=cast.student, at=NOW)
    for drawing in drawn[:3]:
        withdraw(drawing=drawing, by=cast.student, at=NOW)
    choose_design(piece=piece, thumbnail=drawn[4], reason="The rim", by=cast.student, at=NOW)
    now = Choice.objects.get(replaced_at=None)
    assert (now.thumbnail, Choice.objects.count()) == (drawn[4], 2)


def test_the_chosen_drawing_is_not_withdrawn(cast: School) -> None:
    chosen = choose(cast, a_piece(cast))
    with pytest.raises(Refused, match="Choose another one before you withdraw it"):
        withdraw(drawing=chosen, by=cast.student, at=NOW)


def test_a_choice_needs_a_reason_and_an_own_drawing(cast: School) -> None:
    piece = a_piece(cast)
    drawn = draw(cast, piece, 6)
    with pytest.raises(Refused, match="Write why"):
        choose_design(piece=piece, thumbnail=drawn[0], reason=" ", by=cast.student, at=NOW)
    withdraw(drawing=drawn[0], by=cast.student, at=NOW)
    with pytest.raises(Refused, match="one of your own"):
        choose_design(piece=piece, thumbnail=drawn[0], reason="x", by=cast.student, at=NOW)


def test_a_teacher_lets_one_through_with_a_reason(cast: School) -> None:
    piece = a_piece(cast)
    (only,) = draw(cast, piece, 1)
    with pytest.raises(Refused, match="Write the reason"):
        let_through(piece=piece, reason="", by=cast.teacher, at=NOW)
    with pytest.raises(PermissionDenied):
        let_through(piece=piece, reason="Was ill", by=cast.other_teacher, at=NOW)
    let_through(piece=piece, reason="Was ill for two weeks", by=cast.teacher, at=NOW)
    piece.refresh_from_db()
    choose_design(piece=piece, thumbnail=only, reason="I like it", by=cast.student, at=NOW)


def test_the_same_photo_twice_stays_one(cast: School) -> None:
    piece = a_piece(cast)
    first = add_thumbnail(piece=piece, by=cast.student, file=photo(5), at=NOW)
    with pytest.raises(Refused, match="This photo is here already"):
        add_thumbnail(piece=piece, by=cast.student, file=photo(5), at=NOW)
    withdraw(drawing=first, by=cast.student, at=NOW)
    with pytest.raises(Refused, match="among the withdrawn ones"):
        add_thumbnail(piece=piece, by=cast.student, file=photo(5), at=NOW)
    assert piece.thumbnails.count() == 1


def test_refinements_come_after_the_choice(cast: School) -> None:
    piece = a_piece(cast)
    with pytest.raises(Refused, match="Choose a design first"):
        add_refinement(piece=piece, by=cast.student, file=photo(1), at=NOW)
    choose(cast, piece)
    assert len(refine(piece)) == 2


def test_the_same_choice_again_stays_one(cast: School) -> None:
    piece = a_piece(cast)
    chosen = choose(cast, piece)
    reason = Choice.objects.get().reason
    choose_design(piece=piece, thumbnail=chosen, reason=reason, by=cast.student, at=NOW)
    assert Choice.objects.count() == 1


def test_missing_source_forms_alone_are_said_alone(cast: School) -> None:
    piece = a_piece(cast)
    drawn = draw(cast, piece, 6)
    piece.thumbnails.update(source_form=drawn[0].source_form)
    with pytest.raises(GateShut) as refusal:
        choose_design(piece=piece, thumbnail=drawn[0], reason="x", by=cast.student, at=NOW)
    assert str(refusal.value) == "Before you choose: 2 more source forms."


def test_a_piece_holds_no_more_than_its_most(cast: School, monkeypatch: pytest.MonkeyPatch) -> None:
    piece = a_piece(cast)
    monkeypatch.setattr("planning.services.drawings.MOST_DRAWINGS", 2)
    draw(cast, piece, 2)
    with pytest.raises(Refused, match="at most 2 drawings"):
        add_thumbnail(piece=piece, by=cast.student, file=photo(9), at=NOW)


def test_a_source_form_of_another_studio_is_refused(cast: School) -> None:
    (drawing,) = draw(cast, a_piece(cast), 1)
    elsewhere = SourceForm.objects.create(studio=cast.elsewhere.studio, name="whelk")
    with pytest.raises(Refused, match="Choose a source form from the list"):
        describe_thumbnail(thumbnail=drawing, by=cast.student, source_form=elsewhere, note="")


def test_withdrawing_twice_and_moving_what_is_withdrawn_change_nothing(cast: School) -> None:
    first, second = draw(cast, a_piece(cast), 2)
    withdraw(drawing=second, by=cast.student, at=NOW)
    withdraw(drawing=second, by=cast.student, at=NOW)
    move_thumbnail(thumbnail=second, earlier=True)
    assert list(Thumbnail.objects.standing()) == [first]
    assert AuditEntry.objects.filter(action="drawing withdrawn").count() == 1
