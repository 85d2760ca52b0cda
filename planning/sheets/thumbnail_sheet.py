"""The thumbnail sheet: white paper to draw on, with a code that says whose it is."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from planning.splitting.codes import ANCHOR
from studio.paper.codes import qr
from studio.paper.pages import A4, Face, Mark, Page, Sheet, Words
from studio.paper.text import fitted, wrapped

MARGIN_MM = 10.0
CODE_MM = 36.0
_BESIDE_MM = 6.0


@dataclass(frozen=True)
class ThumbnailPaper:
    """One student's. `name` is the first name and an initial, `of` the class and the brief,
    `address` what the code opens."""

    name: str
    code: str
    of: str
    address: str


def thumbnail_sheets(papers: Sequence[ThumbnailPaper], page: Page) -> list[Sheet]:
    """One page each."""
    return [Sheet(tuple(_marks(paper, page))) for paper in papers]


def _marks(paper: ThumbnailPaper, page: Page) -> list[Mark]:
    """A head, as high as the code; a larger page is photographed from further away, so there it is
    larger."""
    larger = max(1.0, page.height_mm / A4.height_mm)
    side = CODE_MM * larger
    room = page.width_mm - 2 * MARGIN_MM - side - _BESIDE_MM
    top = MARGIN_MM + 3.0 * larger  # the white within the code's square
    how, _end = wrapped(
        _(
            "Draw 6 to 12 side views, each on its own with a finger’s width of room around it. No "
            "frames needed. Dark pencil or pen. Stay below the code: beside it nothing is read."
        ),
        MARGIN_MM,
        top + 14.5 * larger,
        room,
        11.0 * larger,
    )
    return [
        fitted(
            Words(MARGIN_MM, top + 6.0 * larger, paper.name, 20.0 * larger, Face.TITLE),
            room,
        ),
        fitted(
            Words(MARGIN_MM, top + 12.0 * larger, f"{paper.code} · {paper.of}", 11.0 * larger),
            room,
        ),
        *how,
        qr(
            paper.address + ANCHOR,
            x_mm=page.width_mm - MARGIN_MM - side,
            y_mm=MARGIN_MM,
            side_mm=side,
        ),
    ]
