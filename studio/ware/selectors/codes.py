"""Pots by the codes that are scratched into them, as people type them."""

import re
from dataclasses import dataclass

from django.db.models import QuerySet

from planning.codes import as_scratched
from studio.ware.models import Pot

_BETWEEN = re.compile(r"[\s,;]+")


@dataclass(frozen=True)
class Read:
    """The pots of the codes that were typed, and what is nobody's code here."""

    pots: list[Pot]
    unknown: list[str]


def pots_by_code(pots: QuerySet[Pot], typed: str) -> Read:
    """Small letters, a missing hyphen and any spaces between are fine. One query.

    Without "/2" a code means whichever of the piece's pots is among `pots`.
    """
    words = [word for word in _BETWEEN.split(typed) if word]
    keys = {word: _key(word) for word in words}
    codes = {code for code, _number in keys.values()}
    here: dict[tuple[str, str], Pot] = {}
    if codes:
        for pot in pots.filter(piece__code__in=codes).order_by("number"):
            here[pot.piece.code, str(pot.number)] = here[pot.piece.code, ""] = pot
    found = {here[key].pk: here[key] for key in keys.values() if key in here}
    return Read(list(found.values()), [word for word, key in keys.items() if key not in here])


def _key(word: str) -> tuple[str, str]:
    code, _slash, number = word.partition("/")
    return as_scratched(code), number
