"""Draws laid-out sheets. The same sheets give the same bytes: no clock, no random id."""

import io
from collections.abc import Sequence

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from .pages import Mark, Modules, Page, Sheet, Stroke, Words
from .text import font_of


def pdf(page: Page, sheets: Sequence[Sheet], *, title: str) -> bytes:
    """A PDF with text that can be copied and fonts that are embedded."""
    out = io.BytesIO()
    size = (page.width_mm * mm, page.height_mm * mm)
    canvas = Canvas(out, pagesize=size, invariant=1, pageCompression=1)
    canvas.setTitle(title)
    canvas.setCreator("Coilcourse")
    for sheet in sheets:
        for mark in sheet.marks:
            _draw(canvas, page, mark)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _draw(canvas: Canvas, page: Page, mark: Mark) -> None:
    match mark:
        case Words():
            canvas.setFont(font_of(mark.face), mark.size_pt)
            canvas.drawString(mark.x_mm * mm, (page.height_mm - mark.y_mm) * mm, mark.text)
        case Stroke():
            canvas.setLineWidth(mark.width_mm * mm)
            canvas.setDash([2 * mm, 1.5 * mm] if mark.dashed else [])
            canvas.line(
                mark.x1_mm * mm,
                (page.height_mm - mark.y1_mm) * mm,
                mark.x2_mm * mm,
                (page.height_mm - mark.y2_mm) * mm,
            )
        case Modules():
            _fill(canvas, page, mark)


def _fill(canvas: Canvas, page: Page, cells: Modules) -> None:
    """As one path, since cells drawn one by one show hairlines between them."""
    path = canvas.beginPath()
    side = cells.cell_mm
    for column, row, length in cells.runs:
        bottom_mm = page.height_mm - cells.y_mm - (row + 1) * side
        path.rect((cells.x_mm + column * side) * mm, bottom_mm * mm, length * side * mm, side * mm)
    canvas.drawPath(path, stroke=0, fill=1)
