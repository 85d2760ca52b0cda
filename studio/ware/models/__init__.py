"""The physical pot, and what is recorded about it."""

from .checks import DrynessCheck, GlazeCheck, GreenwareCheck
from .mishaps import Cause, Flaw, Loss
from .photos import Occasion, PotPhoto
from .place import Place, PlaceKind
from .pot import Lost, Pot, Stage, StageEntry
from .weighing import WeighedAs, Weighing

__all__ = [
    "Cause",
    "DrynessCheck",
    "Flaw",
    "GlazeCheck",
    "GreenwareCheck",
    "Loss",
    "Lost",
    "Occasion",
    "Place",
    "PlaceKind",
    "Pot",
    "PotPhoto",
    "Stage",
    "StageEntry",
    "WeighedAs",
    "Weighing",
]
