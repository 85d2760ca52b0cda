"""The kiln schedule of a week, for the wall: an overview, then a page for each firing.

Whoever reads it may never have seen this program: it says what to do, who does it, what stands on
which shelf, and has room to write down what was read. Values in, bytes out.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from studio.paper.blocks import Paragraph
from studio.paper.flow import Flow
from studio.paper.pages import Align, Face, Page, Sheet
from studio.paper.pdf import pdf
from studio.paper.tables import Column, Table

from .before import cautions
from .firing import FiringPrint, firing_sheets


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
    sheets = _overview(week, page)
    for firing in week.firings:
        sheets += firing_sheets(firing, page, week.footer)
    return sheets


def _overview(week: WeekPrint, page: Page) -> list[Sheet]:
    flow = Flow(page, title=week.title, subtitle=week.subtitle, footer=week.footer)
    if not week.lines:
        flow.add(Paragraph(_("No firing is planned in this week."), 14))
        flow.add(cautions())
        return flow.sheets()
    columns = [
        Column(_("Lit"), 34, face=Face.BOLD),
        Column(_("Kiln and program")),
        Column(_("Should be off, and who sees to it"), 36),
        Column(_("Expected cool"), 44),
        Column(_("Pots"), 10, Align.RIGHT),
    ]
    rows = [
        [each.start, f"{each.kiln}: {each.program}", each.off, each.unload, each.pots]
        for each in week.lines
    ]
    flow.add(Table(columns, rows))
    flow.add(
        Paragraph(
            _(
                "Each firing that is lit this week has its own page behind this one: what to "
                "check before it is lit, its program, what stands on which shelf, and a log to "
                "fill in by hand. Tape it to the wall beside the kiln."
            )
        )
    )
    flow.add(_meanings(week.words))
    flow.add(cautions())
    return flow.sheets()


def _meanings(words: Sequence[tuple[str, str]]) -> Table:
    """Every abbreviation and sign of these pages, written out once."""
    columns = [
        Column(_("On these pages"), 32, face=Face.BOLD, size_pt=9),
        Column(_("means"), size_pt=9),
    ]
    return Table(columns, [[short, meaning] for short, meaning in words], row_mm=4.6)
