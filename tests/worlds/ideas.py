"""A teacher's word on the student's drawings."""

from typing import Any

from planning.models import IdeaChange, Piece
from planning.services.ideas_by_hand import change_ideas
from tests.cast import NOW, School
from tests.planning.drawings import as_compared


def things(cast: School, made: dict[str, str]) -> dict[str, Any]:
    piece = Piece.objects.get(pk=made["piece"])
    compared = as_compared(piece, 6)
    change = change_ideas(
        piece=piece,
        kind=IdeaChange.Kind.JOIN,
        thumbnails=compared.of[:2],
        reason="The same jug, once with its lid",
        by=cast.teacher,
        at=NOW,
    )
    return {"idea_change": change.pk}
