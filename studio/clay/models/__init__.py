"""Lots of clay, and the ledger that moves them."""

from .entry import Entry, EntryKind
from .lot import Lot, LotKind
from .talk import SafetyTalk, TalkRule

__all__ = ["Entry", "EntryKind", "Lot", "LotKind", "SafetyTalk", "TalkRule"]
