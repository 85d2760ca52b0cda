"""How wide words are, and how they are made to fit. All in millimetres; sizes in points."""

from functools import cache
from pathlib import Path

from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import registerFont, stringWidth
from reportlab.pdfbase.ttfonts import TTFont

from .pages import Face, Words

FONTS = Path(__file__).parent / "fonts"


@cache
def font_of(face: Face) -> str:
    """The face's name in the PDF; registers it at first use."""
    registerFont(TTFont(face.value, FONTS / f"{face.value}.ttf"))
    return face.value


def width_mm(text: str, size_pt: float, face: Face = Face.TEXT) -> float:
    return float(stringWidth(text, font_of(face), size_pt)) / mm


def fitted(words: Words, room_mm: float, least_pt: float = 6.0) -> Words:
    """The same words, smaller if they must be, and cut with an ellipsis if that isn't enough."""
    wide = width_mm(words.text, words.size_pt, words.face)
    if wide <= room_mm:
        return words
    size_pt = max(least_pt, words.size_pt * room_mm / wide)
    text = words.text
    if width_mm(text, size_pt, words.face) > room_mm + 1e-6:
        while text and width_mm(f"{text}…", size_pt, words.face) > room_mm:
            text = text[:-1]
        text = f"{text}…"
    return Words(words.x_mm, words.y_mm, text, size_pt, words.face)
