"""The row list on the bench card: a line a row, and between them where to stop, measure, blend."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import partial

from django.utils.translation import gettext as _

from planning.rows.rows import Row, RowList
from studio.paper.blocks import Part
from studio.paper.pages import Align, Face, Mark, Words
from studio.paper.shapes import rectangle
from studio.paper.tables import Cell, Column, Table, Tick
from studio.paper.text import width_mm
from studio.units.scales import Units
from studio.web.shown import (
    length_number_text,
    length_text,
    length_unit_text,
    mass_number_text,
    mass_unit_text,
    number_text,
    short_day_text,
)

from .seam_clock import seams_said

PT, STOP_PT = 13.0, 12.0
ROW_MM = 8.0
FIRST_CHECK = 3
"""After so many rows the height tells how thick the wall has become: common practice, no source."""

_FRAME_MM = (20.0, 6.0)
_PAD_MM, _INSET_MM, _CAP_MM = 1.0, 2.0, 1.45


@dataclass(frozen=True)
class BenchRows:
    """A block of the flow. `depth` where the pot is not round."""

    listed: RowList
    units: Units
    depth: bool
    after_mm: float = 5.0
    keep: bool = field(default=False, init=False)
    whole: bool = field(default=False, init=False)

    def head(self, room_mm: float) -> Part | None:
        return self._table([]).head(room_mm)

    def parts(self, room_mm: float) -> list[Part]:
        table = self._table([self._cells(row) for row in self.listed.rows])
        found = []
        for row, part in zip(self.listed.rows, table.parts(room_mm), strict=True):
            found.append(stacked([part, *self._between(row, room_mm)]))
        return found

    def _table(self, rows: Sequence[Sequence[Cell]]) -> Table:
        unit = length_unit_text(self.units)
        columns = [
            Column("", 5.0),
            Column(_("Row"), 9.0, Align.RIGHT, Face.BOLD, PT),
            Column(_("Height, %(unit)s") % {"unit": unit}, 18.0, Align.RIGHT, Face.BOLD, PT),
            Column(_("Wide, %(unit)s") % {"unit": unit}, 18.0, Align.RIGHT, Face.TEXT, PT),
            *(
                [Column(_("Deep, %(unit)s") % {"unit": unit}, 18.0, Align.RIGHT, Face.TEXT, PT)]
                if self.depth
                else []
            ),
            Column(_("Coil, %(unit)s") % {"unit": unit}, 26.0, Align.RIGHT, Face.TEXT, PT),
            Column(_grams_head(self.units), 14.0, Align.RIGHT, Face.TEXT, PT),
            Column(_("Seam at"), 20.0, Align.LEFT, Face.TEXT, PT),
            Column(_("Then"), size_pt=PT, face=Face.BOLD, lines=2),
        ]
        return Table(columns, rows, row_mm=ROW_MM)

    def _cells(self, row: Row) -> list[Cell]:
        shown = partial(length_number_text, units=self.units)
        length = shown(row.coil_length_mm)
        return [
            Tick(),
            str(row.row),
            shown(row.height_mm),
            shown(row.front_mm),
            *([shown(row.depth_mm)] if self.depth else []),
            length if row.coils == 1 else f"{number_text(row.coils)} × {length}",
            _grams(row.coil_g, self.units),
            seams_said(row),
            self._blend_said(row),
        ]

    def _blend_said(self, row: Row) -> str:
        if not row.blend:
            return ""
        before = [each.row for each in self.listed.rows if each.blend and each.row < row.row]
        first = before[-1] + 1 if before else self.listed.rows[0].row
        if first == row.row:
            return _("blend %(row)s") % {"row": row.row}
        return _("blend %(first)s–%(last)s") % {"first": first, "last": row.row}

    def _between(self, row: Row, room_mm: float) -> list[Part]:
        """After a row: by when it stands, why to stop, and frames beside what is planned."""
        due = next((each for each in self.listed.reached if each.row == row.row), None)
        rest = next((each for each in self.listed.rests if each.after_row == row.row), None)
        if due is not None:
            last = row is self.listed.rows[-1]
            said = _("By %(day)s: the rim") if last else _("By %(day)s: row %(row)s")
            day = short_day_text(due.on)
            return [_stop(said % {"day": day, "row": row.row}, self._asked(row), room_mm)]
        if rest is not None:
            said = _("Rest after row %(row)s until the wall below has stiffened")
            return [_stop(said % {"row": row.row}, self._asked(row), room_mm)]
        if row.row == FIRST_CHECK:
            return [_stop(_("Check the wall"), self._asked(row)[:1], room_mm)]
        return []

    def _asked(self, row: Row) -> list[str]:
        said = [(_("height %(length)s"), row.height_mm), (_("width %(length)s"), row.front_mm)]
        if self.depth:
            said.append((_("depth %(length)s"), row.depth_mm))
        return [each % {"length": length_text(mm, self.units)} for each, mm in said]


def _stop(said: str, asked: Sequence[str], room_mm: float) -> Part:
    """A grey band: what to do in bold, then what is planned, each with a frame for what is
    measured; on a second line where one has no room for all."""
    line = _FRAME_MM[1] + 2 * _PAD_MM
    frames = [width_mm(each, STOP_PT) + 2.0 + _FRAME_MM[0] + 4.0 for each in asked]
    before = width_mm(said, STOP_PT, Face.BOLD) + 6.0
    one = _INSET_MM + before + sum(frames) <= room_mm
    high = line if one else 2 * line - _PAD_MM

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        base = y_mm + line / 2 + _CAP_MM
        marks: list[Mark] = [
            rectangle(x_mm, y_mm, room_mm, high, width_mm=0.0, fill=0.88),
            Words(x_mm + _INSET_MM, base, said, STOP_PT, Face.BOLD),
        ]
        top = y_mm if one else y_mm + line - _PAD_MM
        at = x_mm + room_mm - sum(frames)
        for text, wide in zip(asked, frames, strict=True):
            marks.append(Words(at, top + line / 2 + _CAP_MM, text, STOP_PT))
            left = at + wide - _FRAME_MM[0] - 4.0
            marks.append(rectangle(left, top + _PAD_MM, *_FRAME_MM, width_mm=0.2, fill=1.0))
            at += wide
        return marks

    return Part(high, draw)


def stacked(parts: Sequence[Part]) -> Part:
    """Parts that are never parted by the end of a page."""

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        marks: list[Mark] = []
        for part in parts:
            marks += part.draw(x_mm, y_mm)
            y_mm += part.height_mm
        return marks

    return Part(sum(part.height_mm for part in parts), draw)


def _grams_head(units: Units) -> str:
    return mass_unit_text(units) if units.mass_unit == "lb" else _("g")


def _grams(grams: float, units: Units) -> str:
    """A coil's clay in whole grams, which a bench scale shows whatever the clay is weighed in."""
    return mass_number_text(grams, units) if units.mass_unit == "lb" else number_text(round(grams))
