"""What a page is filled with, from the top down. A block is measured before it is placed."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Protocol

from .pages import Align, Face, Mark, Stroke
from .text import line_mm, lines_at, lines_of

# Draws what has its top left corner at (x_mm, y_mm).
Draw = Callable[[float, float], Sequence[Mark]]

INSET_MM = 4.0


@dataclass(frozen=True)
class Part:
    """What is never split between two pages."""

    height_mm: float
    draw: Draw


def space(height_mm: float) -> Part:
    """White space within a block."""
    return Part(height_mm, lambda _x_mm, _y_mm: ())


class Block(Protocol):
    """Laid out in a room of some width; pages break between its parts."""

    @property
    def after_mm(self) -> float:
        """White space below it, which may fall off the end of a page."""

    @property
    def keep(self) -> bool:
        """Whether it stays on the page of what follows, as a heading does."""

    @property
    def whole(self) -> bool:
        """Whether it would rather begin a new page than be split."""

    def head(self, room_mm: float) -> Part | None:
        """What stands above its parts on each page that they reach."""

    def parts(self, room_mm: float) -> list[Part]:
        """From the top down."""


class Headless:
    """Repeats nothing on the next page."""

    def head(self, room_mm: float) -> Part | None:
        return None


@dataclass(frozen=True)
class Paragraph(Headless):
    """Wrapped text. It splits between lines, but leaves no line alone on a page."""

    text: str
    size_pt: float = 10.5
    face: Face = Face.TEXT
    align: Align = Align.LEFT
    after_mm: float = 4.0
    keep: bool = False
    whole: bool = False

    def parts(self, room_mm: float) -> list[Part]:
        lines = lines_of(self.text, room_mm, self.size_pt, self.face)
        return [self._part(some, room_mm) for some in _pairs_at_the_ends(lines)]

    def _part(self, lines: Sequence[str], room_mm: float) -> Part:
        size_pt, face, align = self.size_pt, self.face, self.align
        draw = partial(lines_at, lines, room_mm=room_mm, size_pt=size_pt, face=face, align=align)
        return Part(len(lines) * line_mm(size_pt), draw)


def heading(text: str, *, size_pt: float = 14.0) -> Paragraph:
    """Stays with what follows it."""
    return Paragraph(text, size_pt, Face.TITLE, after_mm=1.5, keep=True)


@dataclass(frozen=True)
class Drawing(Headless):
    """Anything of a known height: a load map, a row of silhouettes."""

    height_mm: float
    draw: Draw
    after_mm: float = 4.0
    keep: bool = False
    whole: bool = False

    def parts(self, room_mm: float) -> list[Part]:
        return [Part(self.height_mm, self.draw)]


@dataclass(frozen=True)
class Caution(Headless):
    """A bordered paragraph for where work can hurt someone: a heading and its sentences."""

    title: str
    sentences: Sequence[str]
    size_pt: float = 10.0
    after_mm: float = 4.0
    keep: bool = False
    whole: bool = True

    def parts(self, room_mm: float) -> list[Part]:
        inner_mm = room_mm - 2 * INSET_MM
        within = [space(2.5)]
        for text, face in [
            (self.title, Face.BOLD),
            *((each, Face.TEXT) for each in self.sentences),
        ]:
            within += [*Paragraph(text, self.size_pt, face).parts(inner_mm), space(1.0)]
        within.append(space(1.5))
        last = len(within) - 1
        return [
            Part(part.height_mm, _bordered(part, room_mm, top=at == 0, bottom=at == last))
            for at, part in enumerate(within)
        ]


@dataclass(frozen=True)
class Beside(Headless):
    """Blocks next to each other in rooms of one width; they share a page."""

    blocks: Sequence[Block]
    gap_mm: float = 8.0
    after_mm: float = 4.0
    keep: bool = False
    whole: bool = True

    def parts(self, room_mm: float) -> list[Part]:
        each_mm = (room_mm - self.gap_mm * (len(self.blocks) - 1)) / len(self.blocks)

        def draw(x_mm: float, y_mm: float) -> list[Mark]:
            lefts = (x_mm + at * (each_mm + self.gap_mm) for at in range(len(self.blocks)))
            placings = zip(self.blocks, lefts, strict=True)
            return [mark for block, at in placings for mark in placed(block, at, y_mm, each_mm)[0]]

        return [Part(max(height_mm(block, each_mm) for block in self.blocks), draw)]


def placed(block: Block, x_mm: float, y_mm: float, room_mm: float) -> tuple[list[Mark], float]:
    """A block at a fixed place, not split, and where it ends without the space after it."""
    marks: list[Mark] = []
    for part in _all_parts(block, room_mm):
        marks += part.draw(x_mm, y_mm)
        y_mm += part.height_mm
    return marks, y_mm


def _all_parts(block: Block, room_mm: float) -> list[Part]:
    head = block.head(room_mm)
    return [*([head] if head else []), *block.parts(room_mm)]


def height_mm(block: Block, room_mm: float) -> float:
    """How high a block is that is not split, without the space after it. Nothing is drawn."""
    return sum(part.height_mm for part in _all_parts(block, room_mm))


def _pairs_at_the_ends(lines: list[str]) -> list[list[str]]:
    if not lines[3:]:
        return [lines] if lines else []
    return [lines[:2], *([line] for line in lines[2:-2]), lines[-2:]]


def _bordered(part: Part, room_mm: float, *, top: bool, bottom: bool) -> Draw:
    """The sides of a border along the part, with its upper or lower edge at the ends."""

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        right_mm, end_mm = x_mm + room_mm, y_mm + part.height_mm
        edges = [y_mm] * top + [end_mm] * bottom
        return [
            *part.draw(x_mm + INSET_MM, y_mm),
            *(Stroke(at, y_mm, at, end_mm, 0.5) for at in (x_mm, right_mm)),
            *(Stroke(x_mm - 0.25, at, right_mm + 0.25, at, 0.5) for at in edges),
        ]

    return draw
