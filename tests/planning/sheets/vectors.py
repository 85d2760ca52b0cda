"""The lines of a PDF as PDFium reads them, which shares no code with what drew them. In mm from
the top left corner of the page."""

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

import numpy as np
import numpy.typing as npt
import pypdfium2.raw as pdfium

from tests.studio.paper.measuring import Print

MM = 25.4 / 72
Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Path:
    points: Floats
    """(n, 2), the first again at the end where the path is closed."""
    width: float
    """Of the line; 0 where it is filled only."""

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom, with half the line's width."""
        (left, top), (right, bottom) = self.points.min(axis=0), self.points.max(axis=0)
        half = self.width / 2
        return left - half, top - half, right + half, bottom + half

    @property
    def is_level(self) -> bool:
        return len(self.points) == 2 and abs(float(np.ptp(self.points[:, 1]))) < 1e-4

    @property
    def length(self) -> float:
        return float(np.hypot(*np.diff(self.points, axis=0).T).sum())


def short_day(on: date) -> str:
    """A date as English prints say it."""
    return f"{on:%a} {on.day} {on:%b}"


def paths(read: Print, page: int = 0) -> list[Path]:
    high = read.sizes_mm[page][1]
    return [path for each in _objects(read, page) for path in _of(each, high)]


def text_boxes(read: Print, page: int = 0) -> list[tuple[float, float, float, float]]:
    """Left, top, right, bottom of each visible letter."""
    text, high = read.texts[page], read.sizes_mm[page][1]
    boxes = (text.get_charbox(number) for number in range(text.count_chars()))
    return [
        (left * MM, high - top * MM, right * MM, high - bottom * MM)
        for left, bottom, right, top in boxes
        if right > left and top > bottom
    ]


def _objects(read: Print, page: int) -> Iterator[object]:
    opened = read.document[page]  # kept while its objects are looked at
    for number in range(pdfium.FPDFPage_CountObjects(opened.raw)):
        found = pdfium.FPDFPage_GetObject(opened.raw, number)
        if pdfium.FPDFPageObj_GetType(found) == pdfium.FPDF_PAGEOBJ_PATH:
            yield found


def _of(found: object, high: float) -> Iterator[Path]:
    width = ctypes.c_float()
    pdfium.FPDFPageObj_GetStrokeWidth(found, width)
    fill, stroke = ctypes.c_int(), ctypes.c_int()
    pdfium.FPDFPath_GetDrawMode(found, fill, stroke)
    points: list[tuple[float, float]] = []
    x, y = ctypes.c_float(), ctypes.c_float()
    line = width.value * MM if stroke.value else 0.0
    for number in range(pdfium.FPDFPath_CountSegments(found)):
        segment = pdfium.FPDFPath_GetPathSegment(found, number)
        pdfium.FPDFPathSegment_GetPoint(segment, x, y)
        if pdfium.FPDFPathSegment_GetType(segment) == pdfium.FPDF_SEGMENT_MOVETO and points:
            yield Path(np.array(points), line)
            points = []
        points.append((x.value * MM, high - y.value * MM))
        if pdfium.FPDFPathSegment_GetClose(segment):
            points.append(points[0])
    if points:
        yield Path(np.array(points), line)
