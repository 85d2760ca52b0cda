"""The scale card to print and cut out; `planning.tracing.scale_card` says where everything is."""

from django.utils.translation import gettext as _

from planning.tracing.scale_card import (
    CELL_MM,
    CHECK_BAR_AT,
    CHECK_BAR_MM,
    HEIGHT_MM,
    MARGIN_MM,
    MARKER_MM,
    PLACES,
    WIDTH_MM,
    black_modules,
)
from studio.paper.blocks import Drawing, Paragraph
from studio.paper.flow import Flow
from studio.paper.pages import Align, Face, Mark, Modules, Page, Sheet, Stroke, Words
from studio.paper.shapes import rectangle
from studio.paper.text import wrapped

from .checkbars import HIGH_MM, check_bars

_MIDDLE_MM = MARGIN_MM + MARKER_MM  # between the markers, left to right
_ROOM_MM = WIDTH_MM - 2 * _MIDDLE_MM
_BETWEEN_MM = 6.0


def scale_card_sheets(page: Page, *, footer: str) -> list[Sheet]:
    """One page with as many cards as it holds above one another."""
    flow = Flow(page, title=_("Scale card"), footer=footer, margin_mm=10.0)
    flow.add(
        Paragraph(
            _(
                "Check the bars, then cut the cards out along their thin edge; leave the white "
                "round the squares. Lay one flat beside your full-size drawing, on the same table, "
                "and photograph both from above, with the whole card in the picture."
            ),
            after_mm=2.0,
        ),
        Drawing(
            HIGH_MM,
            lambda x_mm, y_mm: check_bars(x_mm, y_mm, flow.room_mm),
            after_mm=4.0,
        ),
    )
    left = (page.width_mm - WIDTH_MM) / 2
    cut_out = Drawing(HEIGHT_MM, lambda _x_mm, y_mm: card(left, y_mm), after_mm=_BETWEEN_MM)
    flow.add(*[cut_out] * _cards_on(page))
    return flow.sheets()


def _cards_on(page: Page) -> int:
    free = page.height_mm - 75.0
    return max(int((free + _BETWEEN_MM) // (HEIGHT_MM + _BETWEEN_MM)), 1)


def card(x_mm: float, y_mm: float) -> list[Mark]:
    """One card from its upper left corner."""
    bar_x, bar_y = x_mm + CHECK_BAR_AT[0], y_mm + CHECK_BAR_AT[1]
    above, _end = wrapped(
        _("Scale card"),
        x_mm + _MIDDLE_MM + 2,
        y_mm + 12,
        _ROOM_MM - 4,
        14,
        face=Face.TITLE,
        align=Align.CENTRE,
    )
    below, _end = wrapped(
        _("Lay it flat beside the drawing, all of it in the picture."),
        x_mm + _MIDDLE_MM + 2,
        y_mm + 62,
        _ROOM_MM - 4,
        10,
        align=Align.CENTRE,
    )
    return [
        rectangle(x_mm, y_mm, WIDTH_MM, HEIGHT_MM, width_mm=0.1),
        *(_marker(marker, x_mm, y_mm) for marker in PLACES),
        *above,
        *below,
        Stroke(bar_x, bar_y, bar_x + CHECK_BAR_MM, bar_y, 0.3),
        *(
            Stroke(at, bar_y, at, bar_y - (2.5 if step in (0, 5) else 1.5), 0.2)
            for step in range(6)
            for at in [bar_x + step * CHECK_BAR_MM / 5]
        ),
        Words(
            bar_x + CHECK_BAR_MM / 2,
            bar_y + 4.5,
            _("50 mm: check with a ruler"),
            9,
            align=Align.CENTRE,
        ),
    ]


def _marker(marker: int, x_mm: float, y_mm: float) -> Modules:
    """Its black cells as one shape, so that no hairline shows between them."""
    left, top = PLACES[marker]
    runs = [
        (
            round((each.x_mm - left) / CELL_MM),
            round((each.y_mm - top) / CELL_MM),
            round(each.width_mm / CELL_MM),
        )
        for each in black_modules(marker)
    ]
    return Modules(x_mm + left, y_mm + top, CELL_MM, tuple(runs))
