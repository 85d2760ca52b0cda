"""The kiln schedule of a week, for the wall: an overview, then pages for each firing.

Whoever reads it may never have seen this program: it says what to do, who does it, what stands on
which shelf, and has room to write down what was read. Values in, bytes out.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from django.utils.translation import gettext as _

from studio.paper.blocks import Beside, Block, Caution, Drawing, Paragraph, heading
from studio.paper.codes import qr
from studio.paper.flow import MARGIN_MM, Flow
from studio.paper.pages import Align, Face, Mark, Page, Shape, Sheet, Words
from studio.paper.patterns import filled
from studio.paper.pdf import pdf
from studio.paper.shapes import plated
from studio.paper.tables import TICK_MM, Blank, Cell, Column, Table, Tick
from studio.paper.text import width_mm

from .program import (
    CurvePrint,
    HourPrint,
    SegmentPrint,
    log_table,
    program_blocks,
)

Points = Sequence[tuple[float, float]]

MAP_DEPTH_MM, GAP_MM, FRONT_MM = 85.0, 8.0, 5.0
MOST_BESIDE_MM = 205.0
"""A longer list of a layer's pots stands below the map, where it may go on over the page."""
UNCUT = 24
"""Lines enough for the longest name of a class: two may differ in their last word only."""
CODE_PT, CODE_LINE_MM = 12.0, 4.6
"""Capitals of 2.8 mm: 16 minutes of arc at 600 mm, the least that ISO 9241-303 asks for (from
memory). A code that is wider than its pot stands in two lines, never smaller.
"""
QR_MM = 24.0


@dataclass(frozen=True)
class PotLine:
    """A pot of a layer. `outline` is in mm from the shelf's centre, y to the back."""

    code: str
    name: str
    section: str
    height: str
    x_mm: float
    y_mm: float
    outline: Points


@dataclass(frozen=True)
class LayerPrint:
    name: str
    posts: str
    pots: Sequence[PotLine]


@dataclass(frozen=True)
class Step:
    """What is done about a firing: `done` says who did it and when, empty for a line to fill in."""

    what: str
    when: str
    who: str
    done: str


@dataclass(frozen=True)
class ClassLine:
    """Whose pots are in it: a class by its whole name, and by what is scratched into them."""

    title: str
    short: str
    codes: Sequence[str]


@dataclass(frozen=True)
class FiringPrint:
    """`surface` is the pattern of the clay as it goes in; `address` leads to the log."""

    title: str
    subtitle: str
    notes: Sequence[str]
    steps: Sequence[Step]
    segments: Sequence[SegmentPrint]
    curve: CurvePrint
    cone: str
    hours: Sequence[HourPrint]
    checks: Sequence[str]
    shelf: Points
    layers: Sequence[LayerPrint]
    classes: Sequence[ClassLine]
    surface: str
    address: str


@dataclass(frozen=True)
class OverviewLine:
    start: str
    kiln: str
    program: str
    off: str
    unload: str
    pots: str


@dataclass(frozen=True)
class WeekPrint:
    title: str
    subtitle: str
    footer: str
    lines: Sequence[OverviewLine]
    firings: Sequence[FiringPrint]
    words: Sequence[tuple[str, str]]
    """What is short on these pages, and what it means."""


def schedule_pdf(week: WeekPrint, page: Page) -> bytes:
    return pdf(page, schedule_sheets(week, page), title=week.title)


def schedule_sheets(week: WeekPrint, page: Page) -> list[Sheet]:
    """The pages, laid out. A week without a firing is one page that says so."""
    scale = map_scale(week.firings, page)
    sheets = _overview(week, page)
    for firing in week.firings:
        sheets += _firing(firing, page, week.footer, scale)
    return sheets


def map_scale(firings: Sequence[FiringPrint], page: Page) -> int:
    """1 : n for every map of the print, so that pots compare across kilns."""
    wide_mm = _map_mm(page.width_mm - 2 * MARGIN_MM)
    needs = [
        max(
            _span(firing.shelf, axis) / most_mm
            for axis, most_mm in ((0, wide_mm), (1, MAP_DEPTH_MM))
        )
        for firing in firings
    ]
    return max([1, *map(ceil, needs)])


def cautions() -> Caution:
    """At the kiln, on every firing's first page."""
    return Caution(
        _("At the kiln"),
        [
            _("Never open a hot kiln, not even a crack: pots burst, and people are burnt."),
            _("Shaded eye protection at the spy hole. The kiln is hot outside too."),
            _("Students never load, unload or open a kiln alone."),
            _("Vent on, room ventilated and locked; no class sits in it during a firing."),
            _("Wiring and clearances are for licensed people under the local code."),
            _("The school's rules, local codes and the makers' sheets come first."),
            _("People light and shut off the kiln. The software only notes what they say."),
        ],
    )


def _overview(week: WeekPrint, page: Page) -> list[Sheet]:
    flow = Flow(page, title=week.title, subtitle=week.subtitle, footer=week.footer)
    if not week.lines:
        flow.add(Paragraph(_("No firing is planned in this week."), 14))
        flow.add(cautions())
        return flow.sheets()
    columns = [
        Column(_("Lit"), 30, face=Face.BOLD),
        Column(_("Kiln"), 24),
        Column(_("Program")),
        Column(_("Should be off, and who sees to it"), 40),
        Column(_("Unload from"), 30),
        Column(_("Pots"), 10, Align.RIGHT),
    ]
    rows = [
        [each.start, each.kiln, each.program, each.off, each.unload, each.pots]
        for each in week.lines
    ]
    flow.add(Table(columns, rows))
    flow.add(
        Paragraph(
            _(
                "Each firing that is lit this week has its own pages behind this one: what to "
                "check before it is lit, its program, what stands on which shelf, and a log to "
                "fill in by hand. Tape them to the wall beside the kiln."
            )
        )
    )
    flow.add(_meanings(week.words))
    flow.add(cautions())
    return flow.sheets()


def _meanings(words: Sequence[tuple[str, str]]) -> Table:
    """Every abbreviation and sign of these pages, written out once."""
    columns = [
        Column(_("On these pages"), 32, face=Face.BOLD, size_pt=9.5),
        Column(_("means"), size_pt=9.5),
    ]
    return Table(columns, [[short, meaning] for short, meaning in words], row_mm=5.5)


def _firing(firing: FiringPrint, page: Page, footer: str, scale: int) -> list[Sheet]:
    flow = Flow(page, title=firing.title, subtitle=firing.subtitle, footer=footer)
    flow.add(_steps(firing.steps))
    for note in firing.notes:
        flow.add(Paragraph(note))
    drawn = program_blocks(firing.segments, firing.curve, firing.cone, cautions(), flow.room_mm)
    flow.add(*drawn)
    flow.turn()
    flow.add(heading(_("Check before lighting")))
    check_column = Column(_("Light it only when every box is ticked"), size_pt=10.5)
    flow.add(Table([check_column], [[Tick(each)] for each in firing.checks], row_mm=6.4))
    _add_layers(flow, firing, scale)
    flow.turn()
    _add_log(flow, firing)
    return flow.sheets()


def _steps(steps: Sequence[Step]) -> Table:
    columns = [
        Column("", 34, face=Face.BOLD, size_pt=10.5),
        Column(_("When"), 42, size_pt=10.5),
        Column(_("Who")),
        Column(_("Done: time and name"), 48),
    ]
    rows: list[list[Cell]] = [
        [each.what, each.when, each.who, each.done or Blank(8)] for each in steps
    ]
    return Table(columns, rows, row_mm=10)


def _add_layers(flow: Flow, firing: FiringPrint, scale: int) -> None:
    if not firing.layers:
        flow.add(heading(_("What stands in it")))
        flow.add(Paragraph(_("Nothing is packed yet.")))
        return
    said = _("What stands in it, from the bottom up, seen from above and drawn at 1 : %(scale)s")
    flow.add(heading(said % {"scale": scale}))
    flow.add(Paragraph(_("Tick each pot when it stands in the kiln.")))
    for layer in firing.layers:
        pots, drawn = _pots(layer), _map(firing, layer, scale, flow.room_mm)
        title = f"{layer.name}, {layer.posts}" if layer.posts else layer.name
        flow.add(Paragraph(title, 12, Face.BOLD, after_mm=1, keep=True))
        beside = Beside([drawn, pots], gap_mm=GAP_MM)
        [part] = beside.parts(flow.room_mm)
        if part.height_mm > MOST_BESIDE_MM:
            flow.add(drawn, pots)
        else:
            flow.add(beside)
    columns = [
        Column(_("Class"), face=Face.BOLD, lines=UNCUT),
        Column(_("Pots"), 10, Align.RIGHT),
        Column(_("Their codes"), 100, size_pt=CODE_PT),
    ]
    rows = [
        [
            f"{each.title} ({each.short})" if each.short else each.title,
            str(len(each.codes)),
            ", ".join(each.codes),
        ]
        for each in firing.classes
    ]
    flow.add(heading(_("By class")), Table(columns, rows))


def _pots(layer: LayerPrint) -> Block:
    columns = [
        Column("", TICK_MM),
        Column(_("Code"), 20, face=Face.BOLD, size_pt=CODE_PT),
        Column(_("Name"), size_pt=9.5, lines=2),
        Column(_("Class"), size_pt=9.5, lines=UNCUT),
        Column(_("Height"), 13, Align.RIGHT, size_pt=9.5, lines=1),
    ]
    rows: list[list[Cell]] = [
        [Tick(), each.code, each.name, each.section, each.height] for each in layer.pots
    ]
    if not rows:
        return Paragraph(_("An empty shelf."))
    return Table(columns, rows, row_mm=6)


def _map(firing: FiringPrint, layer: LayerPrint, scale: int, room_mm: float) -> Drawing:
    half_y = _span(firing.shelf, 1) / scale / 2
    middle_mm = _map_mm(room_mm) / 2

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        across, down = x_mm + middle_mm, y_mm + half_y

        def placed(points: Points) -> tuple[tuple[float, float], ...]:
            return tuple((across + x / scale, down - y / scale) for x, y in points)

        marks: list[Mark] = [Shape(placed(firing.shelf), width_mm=0.5)]
        for pot in layer.pots:
            marks += filled(Shape(placed(pot.outline), width_mm=0.35), firing.surface)
        for pot in layer.pots:
            [(at_x, at_y)] = placed([(pot.x_mm, pot.y_mm)])
            marks += _code(pot.code, at_x, at_y, _span(pot.outline, 0) / scale)
        front = Words(across, down + half_y + 4, _("front"), 9, align=Align.CENTRE)
        return [*marks, front]

    return Drawing(2 * half_y + FRONT_MM, draw, after_mm=3)


def _code(code: str, x_mm: float, y_mm: float, wide_mm: float) -> list[Mark]:
    """A code on its pot; broken after its hyphen where the pot is narrower than it is."""
    lines = [code]
    if width_mm(code, CODE_PT, Face.BOLD) > wide_mm and "-" in code:
        first, _hyphen, rest = code.partition("-")
        lines = [f"{first}-", rest]
    top_mm = y_mm + 0.12 * CODE_PT - CODE_LINE_MM * (len(lines) - 1) / 2
    marks: list[Mark] = []
    for number, line in enumerate(lines):
        at_mm = top_mm + number * CODE_LINE_MM
        marks += plated(Words(x_mm, at_mm, line, CODE_PT, Face.BOLD, Align.CENTRE), pad_mm=0.3)
    return marks


def _map_mm(room_mm: float) -> float:
    return (room_mm - GAP_MM) / 2


def _add_log(flow: Flow, firing: FiringPrint) -> None:
    """A line for every hour of the program, to write down what was read."""
    flow.add(heading(_("Log: write down what you read")))
    words = _(
        "Every hour, at each change of the program, and whenever you pass. Lit later than planned, "
        "every hour is later by as much. Then, or at once with a phone, it goes into the log under "
        "this code; sign in first."
    )
    room_mm = flow.room_mm

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        left_mm = x_mm + (room_mm - GAP_MM) / 2 - QR_MM
        return [qr(firing.address, x_mm=left_mm, y_mm=y_mm, side_mm=QR_MM)]

    flow.add(Beside([Paragraph(words), Drawing(QR_MM, draw)], gap_mm=GAP_MM, after_mm=2))
    flow.add(log_table(firing.hours))


def _span(points: Points, axis: int) -> float:
    values = [point[axis] for point in points]
    return max(values) - min(values)
