"""Sheets of drawings: one that waits, and one whose drawings were taken."""

from collections.abc import Mapping
from typing import Any

from planning.models import Piece, Sheet
from planning.services.sheets import take_sheet
from tests.cast import NOW, School
from tests.planning.sheet_photos import BOXES, proposed, sent


def things(cast: School, made: Mapping[str, str]) -> dict[str, Any]:
    piece = Piece.objects.select_related("studio", "student").get(pk=made["piece"])
    taken: Sheet = proposed(sent(piece, 205), BOXES[:2])
    take_sheet(sheet=taken, by=cast.student, edition=taken.edition, at=NOW)
    return {"sheet": proposed(sent(piece, 204)), "taken_sheet": taken}
