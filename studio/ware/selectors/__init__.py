"""Questions about pots, places and what they wait for."""

from .covers import CoverList, cover_list, cover_lists
from .pots import (
    alive_pots,
    built_pieces,
    checked_pots,
    photos_missing,
    pots_of,
    pots_of_class,
    waiting_for_check,
    with_photos,
)
from .readiness import ReadyPot, not_ready_reasons, ready_for_bisque, ready_for_glaze

__all__ = [
    "CoverList",
    "ReadyPot",
    "alive_pots",
    "built_pieces",
    "checked_pots",
    "cover_list",
    "cover_lists",
    "not_ready_reasons",
    "photos_missing",
    "pots_of",
    "pots_of_class",
    "ready_for_bisque",
    "ready_for_glaze",
    "waiting_for_check",
    "with_photos",
]
