"""What is kept of a pot while it is built. A pot pins one plan, so that another pot of the same
piece starts anew, whatever plan it has."""

from .carrying_on import CarryOn, CarryOnState
from .checks import BuildCheck
from .rows import RowLaid, WallMeasure

__all__ = ["BuildCheck", "CarryOn", "CarryOnState", "RowLaid", "WallMeasure"]
