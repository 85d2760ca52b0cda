"""Sign-in cards: eight on a page, to be cut apart. Values in, bytes out; nothing is kept."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from studio.paper.codes import qr
from studio.paper.pages import Face, Mark, Page, Sheet, Stroke, Words
from studio.paper.pdf import pdf
from studio.paper.text import fitted

COLUMNS, ROWS = 2, 4
PER_PAGE = COLUMNS * ROWS
MARGIN_MM = 10.0
INSET_MM = 6.0
CODE_MM = 32.0


@dataclass(frozen=True)
class Card:
    """What one student reads. `address` is where the code leads; `until` is a day in words."""

    name: str
    section: str
    studio: str
    slug: str
    address: str
    sign_in_name: str
    password: str
    until: str


def sign_in_cards_pdf(cards: Sequence[Card], page: Page) -> bytes:
    return pdf(page, sign_in_sheets(cards, page), title=_("Sign-in cards"))


def sign_in_sheets(cards: Sequence[Card], page: Page) -> list[Sheet]:
    """The pages, laid out."""
    return [
        _sheet(cards[first : first + PER_PAGE], page) for first in range(0, len(cards), PER_PAGE)
    ]


def _sheet(cards: Sequence[Card], page: Page) -> Sheet:
    width_mm = (page.width_mm - 2 * MARGIN_MM) / COLUMNS
    height_mm = (page.height_mm - 2 * MARGIN_MM) / ROWS
    marks: list[Mark] = _cut_lines(page, width_mm, height_mm)
    for place, card in enumerate(cards):
        row, column = divmod(place, COLUMNS)
        x_mm, y_mm = MARGIN_MM + column * width_mm, MARGIN_MM + row * height_mm
        marks += _card(card, x_mm, y_mm, width_mm)
    return Sheet(tuple(marks))


def _cut_lines(page: Page, width_mm: float, height_mm: float) -> list[Mark]:
    right_mm, bottom_mm = page.width_mm - MARGIN_MM, page.height_mm - MARGIN_MM
    across = (MARGIN_MM + row * height_mm for row in range(ROWS + 1))
    down = (MARGIN_MM + column * width_mm for column in range(COLUMNS + 1))
    return [
        *(Stroke(MARGIN_MM, y_mm, right_mm, y_mm, dashed=True) for y_mm in across),
        *(Stroke(x_mm, MARGIN_MM, x_mm, bottom_mm, dashed=True) for x_mm in down),
    ]


def _card(card: Card, x_mm: float, y_mm: float, width_mm: float) -> list[Mark]:
    left_mm = x_mm + INSET_MM
    whole_mm = width_mm - 2 * INSET_MM
    room_mm = whole_mm - CODE_MM - 2
    lines = [
        (Words(left_mm, y_mm + 11.5, card.name, 15, Face.TITLE), whole_mm),
        (Words(left_mm, y_mm + 17, f"{card.section} · {card.studio}", 9), whole_mm),
        (Words(left_mm, y_mm + 27.5, _("Sign-in name"), 8), room_mm),
        (Words(left_mm, y_mm + 33, card.sign_in_name, 13, Face.BOLD), room_mm),
        (Words(left_mm, y_mm + 40.5, _("First password"), 8), room_mm),
        (Words(left_mm, y_mm + 46, card.password, 13, Face.BOLD), room_mm),
        (Words(left_mm, y_mm + 53.5, _("Studio: %(slug)s") % {"slug": card.slug}, 8), room_mm),
        (Words(left_mm, y_mm + 58, card.address, 8), whole_mm),
        (
            Words(
                left_mm,
                y_mm + 62,
                _("Choose your own password by %(day)s.") % {"day": card.until},
                8,
            ),
            whole_mm,
        ),
    ]
    code_x_mm = x_mm + width_mm - INSET_MM - CODE_MM + 2
    return [
        *(fitted(words, room) for words, room in lines),
        qr(card.address, x_mm=code_x_mm, y_mm=y_mm + 20, side_mm=CODE_MM),
    ]
