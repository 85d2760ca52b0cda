"""Lots of clay, and the ledger that moves them."""

from .entry import Entry, EntryKind, NeverChanged
from .lot import BagPart, Lot, LotKind
from .talk import SafetyTalk, TalkRule

__all__ = [
    "BagPart",
    "Entry",
    "EntryKind",
    "Lot",
    "LotKind",
    "NeverChanged",
    "SafetyTalk",
    "TalkRule",
]
