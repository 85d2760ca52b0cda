"""What one picture of a drawing shows, or why it shows nothing.

Pictures of strangers are read in a process of its own with a bound on memory. It begins anew for
each, so nothing is imported here that only comparing needs; what is read may be compared later.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal

from planning.tracing.arrays import Gray

from .reasons import NoForm
from .silhouette import Drawn, form_in

OPENED_PX: Final = 1000
"""The long side to which files are opened: what is finer would be thrown away."""


@dataclass(frozen=True)
class Unread:
    """A drawing that counts for nothing: why, and `at` whether the file or the drawing.

    A code of the file is in the words of whoever opened it, one of the drawing in `reasons`.
    """

    code: str
    values: Mapping[str, int]
    at: Literal["file", "drawing"] = "file"

    @property
    def told(self) -> dict[str, Any]:
        """The same in plain values."""
        return {"at": self.at, "code": self.code, "values": dict(self.values)}


def read(picture: Gray | Unread) -> Drawn | Unread:
    """What is drawn in an upright picture, gray or RGB, 8 bits."""
    if isinstance(picture, Unread):
        return picture
    try:
        return form_in(picture)
    except NoForm as reason:
        return Unread(reason.code, {}, at="drawing")
