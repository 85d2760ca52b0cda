"""What a week is planned from."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from studio.kilns.furnished import Stock
from studio.kilns.hours import Span
from studio.kilns.packing.inputs import Furniture, Layer, Piece


@dataclass(frozen=True)
class Kiln:
    """A kiln's inside, what it has of shelves and posts, and the kilns it never fires with."""

    id: str
    furniture: Furniture
    stock: Stock
    apart: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Hours:
    """When a kiln may be lit and shut off (local), and how long each program that it can fire
    takes in it: hours until it is off, hours until it can be unloaded."""

    start: Span
    off: Span
    programs: Mapping[str, tuple[float, float]]


@dataclass(frozen=True)
class Start:
    """A firing that may be: `kept` ones are, whatever else happens; into a `closed` one (lit, say)
    nothing goes any more. `layers` stand in it already and never move."""

    id: str
    kiln: str
    program: str
    lit_at: datetime
    off_at: datetime
    unload_at: datetime
    kept: bool = False
    closed: bool = False
    layers: tuple[Layer, ...] = ()

    @property
    def standing(self) -> tuple[str, ...]:
        """Ids of the pots in its layers."""
        return tuple(each.id for layer in self.layers for each in layer.placements)


@dataclass(frozen=True)
class Pot:
    """One pot that waits, or stands in a start's layers.

    `programs` are those that suit it (a bisque's, or those that reach its glaze's cone). It can be
    lit with from `ready` on; it is late when it can't be unloaded by `due`. A bisque should be out
    by its class's `glaze_day`. By hand: `must_go`, `not_now`, the name of those it stays `together`
    with, the one start it is `pinned` to, and `nested_in`: the pot that it stands in or on, for a
    bisque only; that one's `piece` then has the height of both.
    """

    piece: Piece
    programs: frozenset[str]
    ready: datetime
    due: datetime | None = None
    glaze_day: datetime | None = None
    must_go: bool = False
    not_now: bool = False
    together: str = ""
    pinned: str = ""
    nested_in: str = ""

    @property
    def id(self) -> str:
        return self.piece.id

    def is_late(self, out_at: datetime) -> bool:
        """When it can be unloaded at that moment."""
        return self.due is not None and self.due < out_at

    def is_after_glaze_day(self, out_at: datetime) -> bool:
        return self.glaze_day is not None and self.glaze_day < out_at


@dataclass(frozen=True)
class Week:
    """Pots the most urgent first. One that is left out counts as late when it is due by `until`.
    `bisque` are the programs in which pots may touch each other."""

    kilns: tuple[Kiln, ...]
    starts: tuple[Start, ...]
    pots: tuple[Pot, ...]
    until: datetime
    bisque: frozenset[str] = frozenset()
