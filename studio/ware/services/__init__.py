"""What happens to a pot: begun, moved on, checked, placed, covered, flawed, lost."""

from .pots import begin_pot

__all__ = ["begin_pot"]
