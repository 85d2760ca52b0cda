"""Firing programs, slots, loads and the log."""

from .load import Load, Placement
from .log import LogEntry
from .program import Firing, Program
from .slot import Series, Slot
from .witness import ConeKind, WitnessReading

__all__ = [
    "ConeKind",
    "Firing",
    "Load",
    "LogEntry",
    "Placement",
    "Program",
    "Series",
    "Slot",
    "WitnessReading",
]
