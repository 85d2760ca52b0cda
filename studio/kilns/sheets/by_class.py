"""Whose pots stand in a kiln: a class after the other, each pot with a box to tick."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from studio.paper.blocks import Headless, Part
from studio.paper.pages import Face, Mark, Words
from studio.paper.shapes import box
from studio.paper.text import lines_of, width_mm

from .headings import section_heading
from .maps import CAPITAL_MM, CODE_PT

LINE_MM, BOX_MM, NAME_PT, GAP_MM = 5.3, 3.4, 9.0, 3.5

DrawItem = Callable[[float, float], Sequence[Mark]]
"""Draws what begins at (x_mm, y_mm)."""
Item = tuple[float, DrawItem]
"""How wide it is, and how it is drawn."""


@dataclass(frozen=True)
class ClassLine:
    """A class by its whole name, and by what is scratched into its pots; each pot by its code and
    its maker's short name. `stands` says by code in or on what a pot stands.
    """

    title: str
    short: str
    pots: Sequence[tuple[str, str]]
    stands: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class ByClass(Headless):
    """A block: the title of a class, then its pots, as many on a line as have room. Without names
    it is set as closely as can be, one class behind the other.
    """

    classes: Sequence[ClassLine]
    names: bool = True
    after_mm: float = 1.5
    keep: bool = False
    whole: bool = False

    def parts(self, room_mm: float) -> list[Part]:
        said = _("Whose pots: tick each one as it is put in")
        if not self.names:
            items = [_title(_("Pots by class: tick each one as it is put in."))]
            for line in self.classes:
                items += self._items(line, room_mm)
            return _lines(items, room_mm)
        parts = section_heading(said).parts(room_mm)
        for line in self.classes:
            parts += _lines(self._items(line, room_mm), room_mm)
        return parts

    def _items(self, line: ClassLine, room_mm: float) -> list[Item]:
        titles = lines_of(_said(line), room_mm, NAME_PT, Face.BOLD)
        pots = ((code, self._aside(line, code, name)) for code, name in line.pots)
        return [*map(_title, titles), *(_pot(code, name) for code, name in pots)]

    def _aside(self, line: ClassLine, code: str, name: str) -> str:
        said = (name if self.names else "", line.stands.get(code, ""))
        return ", ".join(each for each in said if each)


def _lines(items: Sequence[Item], room_mm: float) -> list[Part]:
    """As many beside each other as have room."""
    rows: list[list[tuple[float, DrawItem]]] = [[]]
    at_mm = 0.0
    for wide_mm, draw in items:
        if rows[-1] and at_mm + wide_mm > room_mm:
            rows.append([])
            at_mm = 0.0
        rows[-1].append((at_mm, draw))
        at_mm += wide_mm + GAP_MM
    return [Part(LINE_MM, partial(_drawn, row)) for row in rows]


def _drawn(row: Sequence[tuple[float, DrawItem]], x_mm: float, y_mm: float) -> list[Mark]:
    return [mark for at_mm, draw in row for mark in draw(x_mm + at_mm, y_mm)]


def _title(text: str) -> Item:
    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        return [Words(x_mm, y_mm + (LINE_MM + CAPITAL_MM) / 2, text, NAME_PT, Face.BOLD)]

    return width_mm(text, NAME_PT, Face.BOLD), draw


def _pot(code: str, name: str) -> Item:
    aside_mm = BOX_MM + 1.2
    code_mm = width_mm(code, CODE_PT, Face.BOLD)
    name_mm = width_mm(name, NAME_PT) + 1.5 if name else 0.0

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        base_mm = y_mm + (LINE_MM + CAPITAL_MM) / 2
        return [
            box(x_mm, y_mm + (LINE_MM - BOX_MM) / 2, BOX_MM),
            Words(x_mm + aside_mm, base_mm, code, CODE_PT, Face.BOLD),
            *([Words(x_mm + aside_mm + code_mm + 1.5, base_mm, name, NAME_PT)] if name else []),
        ]

    return aside_mm + code_mm + name_mm, draw


def _said(line: ClassLine) -> str:
    """`10A, Ceramics 10, Tuesdays: 7 pots`."""
    name = f"{line.short}, {line.title}" if line.short else line.title
    count = len(line.pots)
    said = ngettext("%(name)s: one pot", "%(name)s: %(count)s pots", count)
    return said % {"name": name, "count": count}
