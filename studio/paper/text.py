"""How wide words are, and how they are made to fit. All in millimetres; sizes in points."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache
from itertools import groupby
from pathlib import Path

from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import registerFont, stringWidth
from reportlab.pdfbase.ttfonts import TTFont

from .pages import Align, Face, Words

FONTS = Path(__file__).parent / "fonts"
LEADING = 1.32  # a line's height by the size of its letters
HYPHENS = re.compile(r"(?<=[-/])")
CAPITAL = 0.67  # the height of a capital by the size, of the text face


# For letters of names that a face lacks, such as ō or ặ: Latin, Greek and Cyrillic in full.
STANDS_IN = {Face.TEXT: "NotoSans-Regular", Face.BOLD: "NotoSans-Bold", Face.TITLE: "NotoSans-Bold"}


@cache
def _font(name: str) -> TTFont:
    """Registers the font at first use."""
    font = TTFont(name, FONTS / f"{name}.ttf")
    registerFont(font)
    return font


def font_of(face: Face) -> str:
    """The face's name in the PDF."""
    return str(_font(face.value).fontName)


def _has(name: str, letter: str) -> bool:
    return ord(letter) in _font(name).face.charToGlyph


def runs_of(text: str, face: Face) -> list[tuple[str, str]]:
    """The text in parts of one font each: (font's name in the PDF, part)."""
    fonts = groupby(text, lambda letter: _font_for(letter, face))
    return [(name, "".join(part)) for name, part in fonts]


@cache
def _font_for(letter: str, face: Face) -> str:
    other = STANDS_IN[face]
    stands_in = not _has(face.value, letter) and _has(other, letter)
    return str(_font(other if stands_in else face.value).fontName)


def width_mm(text: str, size_pt: float, face: Face = Face.TEXT) -> float:
    return size_pt * sum(_letter_width(letter, face) for letter in text) / mm


@cache
def _letter_width(letter: str, face: Face) -> float:
    """By the size. Breaking lines asks for the same letters over and over."""
    return float(stringWidth(letter, _font_for(letter, face), 1))


def fitted(words: Words, room_mm: float, least_pt: float = 6.0) -> Words:
    """The same words, smaller if they must be, and cut with an ellipsis if that isn't enough."""
    wide = width_mm(words.text, words.size_pt, words.face)
    if wide <= room_mm:
        return words
    size_pt = max(least_pt, words.size_pt * room_mm / wide)
    text = words.text
    if width_mm(text, size_pt, words.face) > room_mm + 1e-6:
        text = cut(text, room_mm, size_pt, words.face)
    return replace(words, text=text, size_pt=size_pt)


def cut(text: str, room_mm: float, size_pt: float, face: Face = Face.TEXT) -> str:
    """As much of the text as has room before an ellipsis."""
    while text and width_mm(f"{text}…", size_pt, face) > room_mm:
        text = text[:-1]
    return f"{text.rstrip()}…"


def line_mm(size_pt: float, leading: float = LEADING) -> float:
    """The height of one line."""
    return size_pt * leading / mm


def baseline_mm(size_pt: float, leading: float = LEADING) -> float:
    """How far below a line's top its letters stand, with capitals in the middle of the line."""
    return size_pt * (leading + CAPITAL) / 2 / mm


def lines_of(
    text: str, room_mm: float, size_pt: float, face: Face = Face.TEXT, *, most: int | None = None
) -> list[str]:
    """The text broken between words, and within a word that is wider than the room.

    The last of `most` lines ends in an ellipsis where there is more to say.
    """
    lines = [line for part in text.splitlines() for line in _broken(part, room_mm, size_pt, face)]
    if most is None or len(lines) <= most:
        return lines
    return [*lines[: most - 1], cut(lines[most - 1], room_mm, size_pt, face)]


def wrapped(
    text: str,
    x_mm: float,
    y_mm: float,
    room_mm: float,
    size_pt: float,
    *,
    leading: float = LEADING,
    face: Face = Face.TEXT,
    align: Align = Align.LEFT,
    most: int | None = None,
) -> tuple[list[Words], float]:
    """Lines from the top edge `y_mm` down, within `room_mm` right of `x_mm`, and where they end."""
    lines = lines_of(text, room_mm, size_pt, face, most=most)
    marks = lines_at(
        lines, x_mm, y_mm, room_mm, size_pt=size_pt, face=face, align=align, leading=leading
    )
    return marks, y_mm + len(lines) * line_mm(size_pt, leading)


def lines_at(
    lines: Sequence[str],
    x_mm: float,
    y_mm: float,
    room_mm: float,
    *,
    size_pt: float,
    face: Face,
    align: Align,
    leading: float = LEADING,
) -> list[Words]:
    """Lines that are broken already, from the top edge `y_mm` down."""
    at_mm = aligned(x_mm, room_mm, align)
    high_mm, first_mm = line_mm(size_pt, leading), y_mm + baseline_mm(size_pt, leading)
    return [
        Words(at_mm, first_mm + number * high_mm, line, size_pt, face, align)
        for number, line in enumerate(lines)
    ]


def aligned(x_mm: float, room_mm: float, align: Align) -> float:
    """Where words of this alignment are put in a room that begins at `x_mm`."""
    return x_mm + {Align.LEFT: 0.0, Align.CENTRE: room_mm / 2, Align.RIGHT: room_mm}[align]


def _broken(text: str, room_mm: float, size_pt: float, face: Face) -> Iterator[str]:
    line = ""
    for word in text.replace("\t", " ").split(" "):
        longer = f"{line} {word}" if line else word  # a no-break space stays within its word
        if width_mm(longer, size_pt, face) <= room_mm:
            line = longer
            continue
        if line:
            yield line
        *full, line = _pieces(word, room_mm, size_pt, face)
        yield from full
    yield line


def _pieces(word: str, room_mm: float, size_pt: float, face: Face) -> list[str]:
    """A word in pieces that fit: after its hyphens, else wherever the room ends."""
    pieces = [""]
    for syllable in HYPHENS.split(word):
        if width_mm(pieces[-1] + syllable, size_pt, face) <= room_mm:
            pieces[-1] += syllable
            continue
        if pieces[-1]:
            pieces.append("")
        for letter in syllable:
            if pieces[-1] and width_mm(pieces[-1] + letter, size_pt, face) > room_mm:
                pieces.append("")
            pieces[-1] += letter
    return pieces
