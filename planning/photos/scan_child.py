"""Opens a stranger's scan of many pages and draws some of them, upright, with what their codes say.

Runs as a process of its own, `python -m planning.photos.scan_child SOURCE FULL SMALL …`, on open
files given by their numbers, one FULL and one SMALL for each page; the numbers of the pages come as
JSON on standard input. Answers one line of JSON. No Django, so that it starts fast.
"""

import os
import resource
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from typing import IO, Any, Final

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_raw
from PIL import Image

from planning.splitting.codes import codes_on
from studio.uploads.decode import FULL_PX, NotTaken, picture, write_both
from studio.uploads.kinds import HEAD_BYTES, kind_of

from .scan_limits import DPI, LONGEST_MM, MOST_PAGES
from .telling import Pictures, tell_of_pictures, within_memory

DATA_BYTES: Final = 250_000_000
"""What a process that draws pages of a PDF may hold of its own: one page of A3 in colour as it is
drawn, and what it is drawn from."""

_UPRIGHT: Final = (
    None, Image.Transpose.ROTATE_90, Image.Transpose.ROTATE_180, Image.Transpose.ROTATE_270,
)  # fmt: skip
"""By quarter turns counter-clockwise, as Pillow counts."""

Draw = Callable[[int], Image.Image]


def pages_read(source: IO[bytes], numbers: Sequence[int], into: Pictures) -> dict[str, Any]:
    """How many pages a scan has, and of each of these (from 1, as far as there are so many) its
    size in pixels and the texts of its codes, or why it can't be drawn; raises NotTaken."""
    with _opened(source) as (count, draw):
        read = [
            _read(draw, number, files)
            for number, files in zip(numbers, into, strict=True)
            if number <= count
        ]
        return {"pages": count, "read": read}


@contextmanager
def _opened(source: IO[bytes]) -> Iterator[tuple[int, Draw]]:
    """How many pages there are, and what draws one of them."""
    kind = kind_of(source.read(HEAD_BYTES))
    source.seek(0)
    if kind != "pdf":
        image, _, _ = picture(source, FULL_PX)
        yield 1, lambda _number: image
        return
    resource.setrlimit(resource.RLIMIT_DATA, (DATA_BYTES, DATA_BYTES))
    with _document(source) as document:
        yield len(document), partial(_drawn, document)


@contextmanager
def _document(source: IO[bytes]) -> Iterator[pdfium.PdfDocument]:
    source.seek(max(0, source.seek(0, os.SEEK_END) - HEAD_BYTES))
    if b"%%EOF" not in source.read():
        raise NotTaken("broken")  # cut off; the library would mend it and lose pages
    source.seek(0)
    try:
        document = pdfium.PdfDocument(source)
    except pdfium.PdfiumError as error:
        locked = error.err_code == pdfium_raw.FPDF_ERR_PASSWORD
        raise NotTaken("pdf_locked" if locked else "broken") from error
    with document:
        if not len(document):
            raise NotTaken("broken")
        if len(document) > MOST_PAGES:
            raise NotTaken("scan_pages", pages=len(document))
        yield document


def _read(draw: Draw, number: int, files: tuple[IO[bytes], IO[bytes]]) -> dict[str, Any]:
    try:
        with within_memory():
            image = draw(number)
            codes = codes_on(np.asarray(image.convert("L")))
            turn = _UPRIGHT[codes[0].turns] if codes else None
            image = image.transpose(turn) if turn is not None else image
            write_both(image, *files)
    except NotTaken as reason:
        return {"refused": reason.code}
    texts = [code.text for code in codes if code.text]
    return {"width": image.width, "height": image.height, "codes": texts}


def _drawn(document: pdfium.PdfDocument, number: int) -> Image.Image:
    """As on paper. Scripts, forms and links are never looked at."""
    try:
        page = document[number - 1]
        long_pt = max(page.get_size())
        if not 0 < long_pt <= LONGEST_MM / 25.4 * 72:
            raise NotTaken("too_long" if long_pt > 0 else "broken")
        scale = min(DPI / 72, FULL_PX / long_pt)
        bitmap = page.render(scale=scale, may_draw_forms=False, rev_byteorder=True)
        image: Image.Image = bitmap.to_pil().convert("RGB")
        bitmap.close()
        page.close()
    except pdfium.PdfiumError as error:
        raise NotTaken("broken") from error
    return image


def main(arguments: list[str]) -> None:
    tell_of_pictures(arguments, pages_read)


if __name__ == "__main__":  # pragma: no cover -- in the child
    main(sys.argv[1:])
