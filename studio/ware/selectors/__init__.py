"""Questions about pots, places and what they wait for."""

from .codes import Read, pots_by_code
from .covers import CoverList, cover_list
from .history import Event, History, history_of
from .looks import Pick, by_class, looks_of, picks_of
from .pots import (
    PotsOf,
    alive_pots,
    built_pieces,
    checked_pots,
    photos_missing,
    pots_and_built,
    pots_of,
    pots_of_class,
)
from .readiness import (
    ReadyPot,
    not_ready_reasons,
    ready_for_bisque,
    ready_for_glaze,
    ready_or_soon_for_bisque,
)
from .today import WareToday, ware_today

__all__ = [
    "CoverList",
    "Event",
    "History",
    "Pick",
    "PotsOf",
    "Read",
    "ReadyPot",
    "WareToday",
    "alive_pots",
    "built_pieces",
    "by_class",
    "checked_pots",
    "cover_list",
    "history_of",
    "looks_of",
    "not_ready_reasons",
    "photos_missing",
    "picks_of",
    "pots_and_built",
    "pots_by_code",
    "pots_of",
    "pots_of_class",
    "ready_for_bisque",
    "ready_for_glaze",
    "ready_or_soon_for_bisque",
    "ware_today",
]
