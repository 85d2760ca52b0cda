"""Draws laid-out sheets. The same sheets give the same bytes: no clock, no random id."""

import io
from collections.abc import Sequence

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from .pages import Align, Face, Mark, Modules, Page, Shape, Sheet, Stroke, Words
from .text import font_of, runs_of, width_mm

# Longer to cut along than around a small pot.
DASHES_MM = {Stroke: (2.0, 1.5), Shape: (1.2, 0.9)}


def pdf(page: Page, sheets: Sequence[Sheet], *, title: str) -> bytes:
    """A PDF with text that can be copied and fonts that are embedded."""
    out = io.BytesIO()
    canvas = Canvas(
        out,
        pagesize=(page.width_mm * mm, page.height_mm * mm),
        invariant=1,
        pageCompression=1,
        # Else each page would name a font that is not embedded. (The stubs take it for a number.)
        initialFontName=font_of(Face.TEXT),  # type: ignore[arg-type]
    )
    canvas.setTitle(title)
    canvas.setCreator("Coilcourse")
    for sheet in sheets:
        own = sheet.page or page
        canvas.setPageSize((own.width_mm * mm, own.height_mm * mm))
        canvas.setLineJoin(1)
        for mark in sheet.marks:
            _draw(canvas, own, mark)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _draw(canvas: Canvas, page: Page, mark: Mark) -> None:
    match mark:
        case Words():
            _write(canvas, page, mark)
        case Stroke():
            _pen(canvas, mark)
            canvas.line(
                mark.x1_mm * mm,
                (page.height_mm - mark.y1_mm) * mm,
                mark.x2_mm * mm,
                (page.height_mm - mark.y2_mm) * mm,
            )
        case Shape():
            _shape(canvas, page, mark)
        case Modules():
            _cells(canvas, page, mark)


def _write(canvas: Canvas, page: Page, words: Words) -> None:
    canvas.setFillGray(words.grey)
    wide_mm = width_mm(words.text, words.size_pt, words.face)
    before = {Align.LEFT: 0.0, Align.CENTRE: wide_mm / 2, Align.RIGHT: wide_mm}[words.align]
    line = canvas.beginText((words.x_mm - before) * mm, (page.height_mm - words.y_mm) * mm)
    for font, part in runs_of(words.text, words.face):
        line.setFont(font, words.size_pt)
        line.textOut(part)
    canvas.drawText(line)


def _pen(canvas: Canvas, line: Stroke | Shape) -> None:
    canvas.setStrokeGray(line.grey)
    canvas.setLineWidth(line.width_mm * mm)
    canvas.setDash([length * mm for length in DASHES_MM[type(line)]] if line.dashed else [])


def _shape(canvas: Canvas, page: Page, shape: Shape) -> None:
    path = canvas.beginPath()
    (x_mm, y_mm), *rest = shape.points_mm
    path.moveTo(x_mm * mm, (page.height_mm - y_mm) * mm)
    for x_mm, y_mm in rest:
        path.lineTo(x_mm * mm, (page.height_mm - y_mm) * mm)
    if shape.closed:
        path.close()
    _pen(canvas, shape)
    if shape.fill is not None:
        canvas.setFillGray(shape.fill)
    canvas.drawPath(path, stroke=int(shape.width_mm > 0), fill=int(shape.fill is not None))


def _cells(canvas: Canvas, page: Page, cells: Modules) -> None:
    """As one path, since cells drawn one by one show hairlines between them."""
    path = canvas.beginPath()
    side = cells.cell_mm
    for column, row, length in cells.runs:
        bottom_mm = page.height_mm - cells.y_mm - (row + 1) * side
        path.rect((cells.x_mm + column * side) * mm, bottom_mm * mm, length * side * mm, side * mm)
    canvas.setFillGray(0)
    canvas.drawPath(path, stroke=0, fill=1)
