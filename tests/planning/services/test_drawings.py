"""Drawings against what comes at the same moment, and against files that were refused."""

import pytest

from planning.models import Choice, Piece
from planning.services import drawings
from planning.services.choosing import choose_design
from planning.services.drawings import locked_piece, withdraw
from studio.errors import Refused
from tests.cast import NOW, School
from tests.planning.work import a_piece, draw

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
