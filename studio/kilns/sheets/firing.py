"""A firing on one page for the wall beside its kiln: when and who, its program and a log to fill in
on the left, what stands on which shelf and what to check on the right, whose pots below.

Whoever reads it may never have seen this program. A load that is too full for codes of full size,
or a program that is too long, carries on onto the next page. Values in, pages out.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from studio.paper.blocks import Block, Paragraph
from studio.paper.codes import qr
from studio.paper.flow import Flow, foot
from studio.paper.pages import Align, Face, Mark, Page, Sheet, Stroke, Words
from studio.paper.text import fitted

from .before import caution_in_short, check_list
from .by_class import ByClass, ClassLine
from .headings import section_heading
from .log import HourPrint, Row, carried_on, howmany_fit, log_block, log_rows
from .maps import SCALES, LoadPrint, codes_fit, load_maps, span_mm
from .program import CurvePrint, SegmentPrint, program_curve, program_table
from .stack import stack_mm, stacked
from .times import Step, times_strip

MARGIN_MM, FOOT_MM, LEFT_MM, GAP_MM = 7.0, 4.5, 82.0, 5.0
GOOD_SCALE = 7
"""Pots of a hand's width are read well then; looser text is better than larger maps."""
QR_MM, TITLE_PT, SUBTITLE_PT, ABOVE_MM = 19.0, 18.0, 10.0, 2.0


@dataclass(frozen=True)
class FiringPrint:
    """`address` leads to the log; `short` writes out what is short on the page."""

    title: str
    subtitle: str
    notes: Sequence[str]
    steps: Sequence[Step]
    segments: Sequence[SegmentPrint]
    curve: CurvePrint
    cone: str
    hours: Sequence[HourPrint]
    checks: Sequence[str]
    load: LoadPrint
    classes: Sequence[ClassLine]
    short: str
    address: str


@dataclass(frozen=True)
class Density:
    """How closely a page is set: size of the text, heights of a segment, the curve, a log line;
    whether pots have names beside their codes, and the free lines of the log.
    """

    text_pt: float
    segment_mm: float
    curve_mm: float
    log_mm: float
    names: bool = True
    spare: int = 2


DENSITIES = (
    Density(9.5, 5.6, 44, 6.8),
    Density(9.0, 5.0, 32, 6.2),
    Density(8.5, 4.4, 24, 5.6),
    Density(8.5, 4.3, 22, 5.2, names=False),
    Density(8.0, 4.0, 18, 5.0, names=False, spare=1),
)
"""The lines of the closest log are those of squared paper."""


@dataclass(frozen=True)
class Carried:
    """What is left to the pages that follow."""

    maps: bool = False
    classes: bool = False
    log: bool = False
    program: bool = False


CARRIED = (
    Carried(),
    Carried(maps=True),
    Carried(maps=True, classes=True),
    Carried(maps=True, classes=True, log=True),
    Carried(maps=True, classes=True, log=True, program=True),
)


def firing_sheets(firing: FiringPrint, page: Page, footer: str) -> list[Sheet]:
    """One page; more where it has no room on one."""
    chosen = next(
        min(found, key=lambda each: max(each.scale, GOOD_SCALE))
        for carried in CARRIED
        if (found := list(_set(firing, page, carried)))
    )
    after: list[Sheet] = []
    if chosen.rest:
        title = _("%(title)s, continued") % {"title": firing.title}
        flow = Flow(page, title=title, footer=footer, margin_mm=MARGIN_MM)
        flow.add(*chosen.rest)
        after = flow.sheets(before=1)
    below = foot(page, MARGIN_MM, footer, 1, 1 + len(after))
    return [Sheet((*chosen.marks, *below)), *after]


@dataclass(frozen=True)
class _Set:
    """The first page, and what follows on others. `scale`: of its maps, 0 without any."""

    marks: list[Mark]
    rest: list[Block]
    scale: int


def _set(firing: FiringPrint, page: Page, carried: Carried) -> Iterator[_Set]:
    """In each density in which it fits on the page, from the widest; the closest only if no other
    does.
    """
    any_fits = False
    for density in DENSITIES:
        if any_fits and not density.names:
            return
        if (found := _Layout(firing, page, density, carried).page()) is not None:
            any_fits = True
            yield found


class _Layout:
    """A firing set in one density, without what is carried on."""

    def __init__(self, firing: FiringPrint, page: Page, density: Density, carried: Carried) -> None:
        self.firing, self.page_size, self.set, self.carried = firing, page, density, carried
        self.room_mm = page.width_mm - 2 * MARGIN_MM
        self.right_mm = self.room_mm - LEFT_MM - GAP_MM

    def page(self) -> _Set | None:
        """None where it has no room."""
        top, top_mm = self._top()
        below = self._below()
        foot_mm = self.page_size.height_mm - MARGIN_MM - FOOT_MM - stack_mm(below, self.room_mm)
        high_mm = foot_mm - top_mm - ABOVE_MM
        left = self._left()
        rows = log_rows(self.firing.hours, self.set.spare)
        here = howmany_fit(rows, self.set.log_mm, high_mm - stack_mm(left, LEFT_MM))
        if high_mm < stack_mm(left, LEFT_MM) or (not here and not self.carried.log):
            return None
        found = self._right(carried_on(rows[here:], rows[:here]), high_mm)
        if found is None:
            return None
        right, rest, scale = found
        if here:
            left.append(log_block(rows[:here], self.set.log_mm, LEFT_MM))
        right_at = MARGIN_MM + LEFT_MM + GAP_MM
        marks = [
            *top,
            *stacked(left, MARGIN_MM, top_mm, LEFT_MM),
            *stacked(right, right_at, top_mm, self.right_mm),
            *stacked(below, MARGIN_MM, foot_mm, self.room_mm),
        ]
        return _Set(marks, self._rest(rest), scale)

    def _top(self) -> tuple[list[Mark], float]:
        firing, words_mm = self.firing, self.room_mm - QR_MM - 5
        left_mm, at_mm = MARGIN_MM, MARGIN_MM + 6.0
        title = fitted(Words(left_mm, at_mm, firing.title, TITLE_PT, Face.TITLE), words_mm)
        said = [Paragraph(firing.subtitle, SUBTITLE_PT, after_mm=1)]
        said += [Paragraph(note, self.set.text_pt, after_mm=0.5) for note in firing.notes]
        marks: list[Mark] = [title, *stacked(said, left_mm, at_mm + 2, words_mm)]
        code_mm = left_mm + self.room_mm - QR_MM
        marks.append(qr(firing.address, x_mm=code_mm, y_mm=MARGIN_MM, side_mm=QR_MM))
        under = Words(
            code_mm + QR_MM / 2, MARGIN_MM + QR_MM + 1.6, _("log by phone"), 8.5, align=Align.CENTRE
        )
        marks.append(under)
        at_mm = max(at_mm + 2 + stack_mm(said, words_mm), MARGIN_MM + QR_MM + 2) + 1.5
        marks.append(Stroke(left_mm, at_mm, left_mm + self.room_mm, at_mm, 0.2))
        strip = times_strip(firing.steps, self.room_mm, self.set.text_pt)
        blocks: list[Block] = [strip, caution_in_short(self.set.text_pt, self.room_mm)]
        marks += stacked(blocks, left_mm, at_mm + 2, self.room_mm)
        return marks, at_mm + 2 + stack_mm(blocks, self.room_mm)

    def _left(self) -> list[Block]:
        said = _("Read every hour. Lit later, all is later by as much.")
        program = [] if self.carried.program else self._program()
        return [
            *program,
            section_heading(_("Log: write down what you read")),
            Paragraph(said, self.set.text_pt - 0.5, after_mm=0.5),
        ]

    def _program(self) -> list[Block]:
        firing, density = self.firing, self.set
        return [
            section_heading(_("The program in the controller")),
            program_table(firing.segments, density.segment_mm, density.text_pt),
            Paragraph(firing.cone, density.text_pt, after_mm=1),
            program_curve(firing.curve, density.curve_mm, LEFT_MM),
        ]

    def _right(
        self, log: Sequence[Row], high_mm: float
    ) -> tuple[list[Block], list[Row], int] | None:
        """The blocks of the right column, its maps as large as there is room, and the lines of the
        log that have none.
        """
        checks = check_list(self.firing.checks, self.set.text_pt, self.right_mm)
        load = self.firing.load
        for scale in self._scales():
            maps = [] if self.carried.maps else self._maps(scale, self.right_mm)
            blocks = [*maps, checks]
            room_mm = high_mm - stack_mm(blocks, self.right_mm)
            here = howmany_fit(log, self.set.log_mm, room_mm)
            if room_mm < 0 or (here < len(log) and not self.carried.log):
                continue
            if scale and not codes_fit(load, scale):
                return None
            if here:
                blocks.append(log_block(log[:here], self.set.log_mm, self.right_mm))
            return blocks, list(log[here:]), scale
        return None

    def _scales(self) -> Iterable[int]:
        """From the largest maps that the column has the width for; 0 where none is drawn."""
        load = self.firing.load
        if self.carried.maps or not load.layers:
            return [0]
        return [each for each in SCALES if span_mm(load.shelf, 0) / each <= self.right_mm]

    def _below(self) -> list[Block]:
        short = Paragraph(self.firing.short, 8.0, after_mm=0)
        if self.carried.classes or not self.firing.classes:
            return [short]
        return [ByClass(self.firing.classes, self.set.names), short]

    def _rest(self, log: list[Row]) -> list[Block]:
        firing, carried = self.firing, self.carried
        # The second page has its title, and no more.
        high_mm = self.page_size.height_mm - 2 * MARGIN_MM - 40
        blocks: list[Block] = []
        if carried.program:
            blocks += self._program()
        if carried.maps and firing.load.layers:
            scale = self._own_scale(high_mm)
            blocks += self._maps(scale, self.room_mm)
        if carried.classes and firing.classes:
            blocks.append(ByClass(firing.classes))
        while log:
            here = howmany_fit(log, self.set.log_mm, high_mm)
            blocks.append(log_block(log[:here], self.set.log_mm, self.room_mm))
            log = log[here:]
        return blocks

    def _own_scale(self, high_mm: float) -> int:
        """Of maps that have pages of their own: all on one where codes fit, else one map a row."""
        load, room_mm = self.firing.load, self.room_mm
        wide_mm, deep_mm = (span_mm(load.shelf, axis) for axis in (0, 1))
        fits = [
            each for each in SCALES if wide_mm / each <= room_mm and deep_mm / each <= high_mm - 20
        ]
        for scale in fits:
            if stack_mm(self._maps(scale, room_mm), room_mm) <= high_mm:
                return scale if codes_fit(load, scale) else fits[0]
        return fits[0]

    def _maps(self, scale: int, room_mm: float) -> list[Block]:
        return load_maps(self.firing.load, scale, room_mm, self.set.text_pt - 0.5)
