"""Firing programs, slots, loads and the log."""

from .load import Load, Placement
from .log import LogEntry
from .program import Firing, Program
from .slot import Series, Slot

__all__ = ["Firing", "Load", "LogEntry", "Placement", "Program", "Series", "Slot"]
