"""What the room has: clay bodies and their test bars, glazes, kilns and their furniture."""

from .bar import ShrinkageBar
from .body import ClayBody
from .glaze import Glaze
from .kiln import Kiln, PostSet, ShelfShape

__all__ = ["ClayBody", "Glaze", "Kiln", "PostSet", "ShelfShape", "ShrinkageBar"]
