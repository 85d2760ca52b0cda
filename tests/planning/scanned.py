"""Thumbnail sheets as they come off a copier: printed, drawn on, scanned askew, in one PDF."""

import io
import time
from collections.abc import Sequence
from functools import cache

import cv2
import numpy as np
import pypdfium2
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from planning.models import Piece
from planning.selectors.papers import thumbnail_paper
from planning.sheets.thumbnail_sheet import ThumbnailPaper, thumbnail_sheets
from studio.paper.pages import WITH_LARGE_PAGES
from studio.paper.pdf import pdf
from tests.planning.exploration.ideas import Array, redrawn
from tests.planning.splitting import sheets as generated
from tests.planning.splitting.pages import PX_PER_MM

ADDRESS = "https://coilcourse.brookfield-school.example/pieces/{}/"
SOMEBODY = "0c1e5f0e-8a44-4c9b-bb1e-9dd4d6b8d1f2"
HEAD_MM = 52.0
"""To the foot of the code and a little below, on A4 and Letter."""


def paper_of(pk: object = SOMEBODY) -> ThumbnailPaper:
    of = "Period 3 · A vessel with a shoulder"
    return ThumbnailPaper("Ode A.", "K7-3F", of, ADDRESS.format(pk))


def of_piece(piece: Piece) -> ThumbnailPaper:
    return thumbnail_paper(piece, lambda path: f"https://studio.example{path}")


def printed(paper: ThumbnailPaper, size: str = "a4") -> Array:
    """What the paper reflects, 0 to 1, at the generator's pixels a millimetre."""
    page = WITH_LARGE_PAGES[size]
    document = pypdfium2.PdfDocument(pdf(page, thumbnail_sheets([paper], page), title="Sheet"))
    drawn = document[0].render(scale=PX_PER_MM * 25.4 / 72, grayscale=True).to_numpy()
    return np.asarray(drawn.squeeze(), np.float32) / 255


def drawn_on(paper: Array, count: int, seed: int, size: str = "a4") -> tuple[Array, Array]:
    """A sheet with so many of the generator's drawings below its head, and the corners of their
    boxes (count, 4, 2)."""
    rng = np.random.default_rng((seed, 5))
    base = paper * np.float32(rng.uniform(0.9, 0.97))
    larger = max(1.0, WITH_LARGE_PAGES[size].height_mm / 297)
    top = round(PX_PER_MM * HEAD_MM * larger)
    hand = generated._hand(rng)
    cells = generated._cells((base.shape[0] - top, base.shape[1]), count, rng)
    cells[:, 1] += top
    boxes = []
    for number, cell in enumerate(cells, start=1):
        outline = redrawn(generated.made_up(1000 * seed + number), rng, 0.5)
        boxes.append(generated._drawn_in(base, outline, cell, hand, number=number, rng=rng))
    return base, np.array(boxes).reshape(-1, 4, 2)


def scanned(sheet: Array, dpi: int, seed: int) -> tuple[Array, Array]:
    """As a copier takes it: up to 2.5° askew, a little off its place, the lid white or dark, grain
    and JPEG; gray, 8 bits, with the homography from the sheet's pixels to its own."""
    rng = np.random.default_rng((seed, 6))
    scale, turn = dpi / 25.4 / PX_PER_MM, np.radians(rng.uniform(-2.5, 2.5))
    high, wide = sheet.shape
    middle = np.array((wide, high)) / 2
    matrix = scale * np.array(((np.cos(turn), -np.sin(turn)), (np.sin(turn), np.cos(turn))))
    off = middle * scale - matrix @ middle + rng.normal(0, 2, 2) * dpi / 25.4
    there = np.vstack((np.column_stack((matrix, off)), (0, 0, 1)))
    size, lid = (round(wide * scale), round(high * scale)), float(rng.choice((0.98, 0.1)))
    taken = cv2.warpPerspective(sheet, there, size, borderValue=lid, flags=cv2.INTER_AREA)
    taken = cv2.GaussianBlur(taken, (0, 0), 0.7) * 255 + rng.normal(0, 4, taken.shape)
    clipped = np.clip(taken, 0, 255).astype(np.uint8)
    coded = cv2.imencode(".jpg", clipped, [cv2.IMWRITE_JPEG_QUALITY, 75])[1]
    return np.asarray(cv2.imdecode(coded, cv2.IMREAD_GRAYSCALE)), there


def boxes_in(boxes: Array, there: Array) -> Array:
    """The boxes (n, 4) in a scan of what is between these corners on the sheet."""
    return np.array([generated._seen(each, there) for each in boxes])


@cache
def blank_page(paper: ThumbnailPaper, dpi: int = 100) -> Array:
    """Nothing drawn on it, scanned straight: most tests look at no drawing."""
    page = cv2.resize(printed(paper), None, fx=dpi / 25.4 / 6, fy=dpi / 25.4 / 6)
    return np.asarray(np.clip(page * 235, 0, 255), np.uint8)


@cache
def without_code(shade: int = 235) -> Array:
    return np.full((1169, 827), shade, np.uint8)


def pdf_of(pages: Sequence[Array], dpi: int = 100) -> bytes:
    """One picture a page, as copiers write it."""
    first, *others = (Image.fromarray(page) for page in pages)
    out = io.BytesIO()
    dated = time.gmtime(0)  # the same pages, the same file
    first.save(
        out,
        "PDF",
        resolution=dpi,
        save_all=True,
        append_images=others,
        quality=80,
        creationDate=dated,
        modDate=dated,
    )
    return out.getvalue()


def scan_file(content: bytes, name: str = "class.pdf") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content, content_type="application/pdf")
