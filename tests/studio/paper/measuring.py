"""Reads a PDF back with PDFium, which shares no code with what drew it. All in millimetres."""

import re
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pypdfium2

DPI = 300
MM = 25.4 / DPI  # a pixel's side

Pixels = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Found:
    """Where words stand on a page: both ends of their advance, and their baseline."""

    left_mm: float
    right_mm: float
    baseline_mm: float


class Print:
    """A PDF as its reader sees it."""

    def __init__(self, content: bytes) -> None:
        self.document = pypdfium2.PdfDocument(content)
        self.texts = [page.get_textpage() for page in self.document]

    @property
    def sizes_mm(self) -> list[tuple[float, float]]:
        sizes = (page.get_size() for page in self.document)
        return [(wide / 72 * 25.4, high / 72 * 25.4) for wide, high in sizes]

    def text(self, page: int = 0) -> str:
        return re.sub(r"\s+", " ", self.texts[page].get_text_range()).strip()

    def find(self, words: str, page: int = 0) -> Found:
        """The first time that the words stand on the page; they begin with an upright letter."""
        text = self.texts[page]
        place = text.search(words, match_case=True).get_next()
        assert place is not None, f"{words!r} is not on the page"
        first, count = place
        left, *_rest = text.get_charbox(first, loose=True)
        right = text.get_charbox(first + count - 1, loose=True)[2]
        baseline = text.get_charbox(first)[1]
        high = self.document[page].get_size()[1]
        return Found(left / 72 * 25.4, right / 72 * 25.4, (high - baseline) / 72 * 25.4)

    def dark(self, page: int = 0) -> Pixels:
        """Whether each pixel of the page, row by row, is nearer to black than to white."""
        return self.grey(page) < 128

    def grey(self, page: int = 0) -> npt.NDArray[np.uint8]:
        picture = self.document[page].render(scale=DPI / 72, grayscale=True)
        return np.asarray(picture.to_numpy()).reshape(picture.height, picture.width)

    def extent_mm(self, page: int = 0) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of everything that is dark."""
        rows, columns = np.nonzero(self.dark(page))
        return (
            columns.min() * MM,
            rows.min() * MM,
            (columns.max() + 1) * MM,
            (rows.max() + 1) * MM,
        )
