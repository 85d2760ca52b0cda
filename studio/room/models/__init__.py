"""What the room has: clay bodies, glazes, kilns and their furniture."""

from .body import ClayBody
from .glaze import Glaze
from .kiln import Kiln, PostSet, ShelfShape

__all__ = ["ClayBody", "Glaze", "Kiln", "PostSet", "ShelfShape"]
