"""Drawings against what comes at the same moment, and against files that were refused."""

import pytest

from planning.models import Choice, Piece
from planning.services import drawings
from planning.services.choosing import choose_design
from planning.services.drawings import add_thumbnail, locked_piece, withdraw
from studio.errors import Refused
from studio.uploads.models import StoredImage
from tests.cast import NOW, School
from tests.planning.work import a_piece, draw, photo

pytestmark = pytest.mark.both_databases


def test_a_drawing_chosen_while_it_is_being_withdrawn_stays(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The choice held the piece's lock; whoever withdraws sees it once the lock is theirs."""
    piece = a_piece(cast)
    first, *_others = draw(cast, piece)

    def chosen_meanwhile(locked: Piece) -> Piece:
        if not Choice.objects.exists():
            choose_design(piece=piece, thumbnail=first, reason="The foot", by=cast.student, at=NOW)
        return locked_piece(locked)

    monkeypatch.setattr(drawings, "locked_piece", chosen_meanwhile)
    with pytest.raises(Refused, match="This is your chosen design"):
        withdraw(drawing=first, by=cast.student, at=NOW)
    first.refresh_from_db()
    assert first.withdrawn_at is None


def test_a_photo_that_could_be_read_the_second_time_does_not_come_a_third(cast: School) -> None:
    piece = a_piece(cast)
    first = add_thumbnail(piece=piece, by=cast.student, file=photo(), at=NOW)
    StoredImage.objects.filter(pk=first.image_id).update(
        state=StoredImage.State.REFUSED, refusal_code="gave_up"
    )
    second = add_thumbnail(piece=piece, by=cast.student, file=photo(), at=NOW)
    with pytest.raises(Refused, match="This photo is here already"):
        add_thumbnail(piece=piece, by=cast.student, file=photo(), at=NOW)
    withdraw(drawing=first, by=cast.student, at=NOW)
    with pytest.raises(Refused, match="This photo is here already"):
        add_thumbnail(piece=piece, by=cast.student, file=photo(), at=NOW)
    assert set(piece.thumbnails.all()) == {first, second}
