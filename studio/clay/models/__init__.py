"""Lots of clay, and the ledger that moves them."""

from .batch import Batch
from .entry import Entry, EntryKind, NeverChanged
from .lot import MOST_BAGS, BagPart, Lot, LotKind
from .order import Order
from .pack import Pack
from .talk import SafetyTalk, TalkRule

__all__ = [
    "MOST_BAGS",
    "BagPart",
    "Batch",
    "Entry",
    "EntryKind",
    "Lot",
    "LotKind",
    "NeverChanged",
    "Order",
    "Pack",
    "SafetyTalk",
    "TalkRule",
]
