"""Back-up, restore, and erasing a person."""

from .backing_up import back_up
from .erasing import erase_person, finish_erasures
from .restoring import restore

__all__ = ["back_up", "erase_person", "finish_erasures", "restore"]
