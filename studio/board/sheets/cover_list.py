"""What is wrapped at the end of a lesson, to tick off along the shelves. Text in, bytes out."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from studio.paper.blocks import Paragraph
from studio.paper.flow import Flow
from studio.paper.pages import Face, Mark, Page, Sheet
from studio.paper.pdf import pdf
from studio.paper.silhouettes import Sample, one_scale, silhouette
from studio.paper.tables import Cell, Column, Picture, Table, Tick

POT_HIGH_MM, POT_WIDE_MM = 9.0, 14.0
POT_ROOM_MM = 15.0


@dataclass(frozen=True)
class DampPot:
    """A pot whose edge must not dry. `shape` runs from the table to the rim, in mm of the pot;
    `wrapped` says since when it is covered, or that it stands open."""

    code: str
    name: str
    place: str
    wrapped: str
    stage: str
    shape: Sequence[Sample]


@dataclass(frozen=True)
class CoverPaper:
    """`title` says how many, and for how long."""

    title: str
    subtitle: str
    footer: str
    pots: Sequence[DampPot]


def cover_list_pdf(paper: CoverPaper, page: Page) -> bytes:
    return pdf(page, cover_list_sheets(paper, page), title=_("Cover list"))


def cover_list_sheets(paper: CoverPaper, page: Page) -> list[Sheet]:
    """The pages, laid out."""
    flow = Flow(page, title=paper.title, subtitle=paper.subtitle, footer=paper.footer)
    if not paper.pots:
        flow.add(Paragraph(_("Wet and leather-hard pots under way would stand here.")))
        return flow.sheets()
    flow.add(Paragraph(how_to_wrap()), _table(paper.pots))
    return flow.sheets()


def how_to_wrap() -> str:
    return _(
        "Thin plastic goes close over the whole pot and under its board, the label outside. Wrap "
        "the pots of absent students as well."
    )


def _table(pots: Sequence[DampPot]) -> Table:
    columns = [
        Column(_("Wrapped"), 15),
        Column("", POT_ROOM_MM),
        Column(_("Code"), 20, face=Face.BOLD, size_pt=12),
        Column(_("Name"), 34, size_pt=11),
        Column(_("Where"), size_pt=11),
        Column(_("Last wrapped"), 26),
    ]
    scale = one_scale([pot.shape for pot in pots], tallest_mm=POT_HIGH_MM, widest_mm=POT_WIDE_MM)
    rows: list[list[Cell]] = [
        [Tick(), _picture(pot, scale), pot.code, pot.name, pot.place, pot.wrapped] for pot in pots
    ]
    return Table(columns, rows)


def _picture(pot: DampPot, scale: float) -> Picture:
    def draw(x_mm: float, y_mm: float, room_mm: float) -> list[Mark]:
        return silhouette(
            pot.shape,
            x_mm=x_mm + room_mm / 2,
            base_y_mm=y_mm + POT_HIGH_MM,
            scale=scale,
            stage=pot.stage,
        )

    return Picture(POT_HIGH_MM + 0.8, draw)
