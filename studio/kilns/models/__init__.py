"""Firing programs, slots, loads, the log, and where the calendar is read."""

from .calendar import CalendarAddress
from .load import Load, Placement
from .log import LogEntry
from .program import Firing, Program
from .slot import Series, Slot
from .witness import ConeKind, WitnessReading

__all__ = [
    "CalendarAddress",
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
