"""Reads lengths and masses as people type them: "12,5", "12.5 cm", "4-7/8 in", "1 lb 6 oz".

Pure: the standard library only. What can't be read is refused with a reason, never guessed.
"""

import re
import unicodedata
from decimal import Decimal
from enum import StrEnum

from studio.units.scales import G_PER, G_PER_OUNCE, MM_PER

MOST_CHARACTERS = 24
# 100 m or 10 t: beyond any pot, and short of every overflow.
MOST = Decimal(100_000)
MOST_G = Decimal(10_000_000)


class Reason(StrEnum):
    """Why a typed measure can't be taken."""

    EMPTY = "empty"
    UNREADABLE = "unreadable"
    UNKNOWN_UNIT = "unknown unit"
    NEGATIVE = "negative"
    THOUSANDS = "thousands or decimals"
    FRACTION = "fraction"
    TOO_LARGE = "too large"


class Unreadable(ValueError):  # noqa: N818 -- the reason is the name
    """A typed measure that can't be taken. `reason` says why, `part` which characters."""

    def __init__(self, reason: Reason, part: str = "") -> None:
        super().__init__(f"{reason}: {part}")
        self.reason = reason
        self.part = part


_LENGTH_WORDS = {
    "mm": "mm millimetre millimetres millimeter millimeters",
    "cm": "cm centimetre centimetres centimeter centimeters",
    "in": 'in in. inch inches " \u2033 \u201d',
}
_MASS_WORDS = {
    "g": "g gram grams gramme grammes",
    "kg": "kg kgs kilo kilos kilogram kilograms",
    "lb": "lb lbs lb. pound pounds",
}
_LENGTH_NAMES = {word: unit for unit, words in _LENGTH_WORDS.items() for word in words.split()}
_MASS_NAMES = {word: unit for unit, words in _MASS_WORDS.items() for word in words.split()}

_MINUS = "-\u2212\u2013"
_WORD = r"[a-z\"\u2033\u201d]\D*"
_MEASURE = re.compile(
    r"(?:(?P<whole>\d+)(?:\s*-\s*|\s+))?(?P<over>\d+)\s*/\s*(?P<under>\d+)"
    rf"\s*(?P<unit_f>{_WORD})?"
    rf"|(?P<number>\d+(?:[.,]\d*)?|[.,]\d+)\s*(?P<unit>{_WORD})?",
    re.ASCII,
)
_POUNDS_AND_OUNCES = re.compile(
    r"(?:(?P<pounds>\d+)\s*(?:lbs?\.?|pounds?)\s*)?(?P<ounces>\d+(?:[.,]\d*)?)\s*"
    r"(?:oz\.?|ounces?)",
    re.ASCII,
)
_THOUSANDS = re.compile(r"[1-9]\d{0,2}([.,])\d{3}", re.ASCII)


def typed_length_mm(text: str, unit: str) -> Decimal:
    """The length in mm that `text` means; a bare number is in `unit`.

    Raises Unreadable. To 0.0001 mm, so that every sixteenth of an inch is exact.

    >>> typed_length_mm("4 7/8 in", "cm")
    Decimal('123.8250')
    """
    number, named = _number_and_unit(_tidy(text), _LENGTH_NAMES, unit, whole_units={"mm"})
    length_mm = number * MM_PER[named]
    if length_mm > MOST:
        raise Unreadable(Reason.TOO_LARGE, text.strip())
    return length_mm.quantize(Decimal("0.0001"))


def typed_mass_g(text: str, unit: str) -> Decimal:
    """The mass in g that `text` means; a bare number is in `unit`. Raises Unreadable.

    >>> typed_mass_g("1.2 kg", "lb")
    Decimal('1200.000')
    """
    tidy = _tidy(text)
    if both := _POUNDS_AND_OUNCES.fullmatch(tidy):
        pounds = Decimal(both["pounds"] or 0)
        mass_g = pounds * G_PER["lb"] + _decimal(both["ounces"], strict=False) * G_PER_OUNCE
    else:
        number, named = _number_and_unit(tidy, _MASS_NAMES, unit, whole_units={"g"})
        mass_g = number * G_PER[named]
    if mass_g > MOST_G:
        raise Unreadable(Reason.TOO_LARGE, text.strip())
    return mass_g.quantize(Decimal("0.001"))


def _tidy(text: str) -> str:
    """Lower case, plain spaces, plain digits; a fraction sign such as ⅞ spelt out."""
    spelt = []
    for character in text:
        form = unicodedata.decomposition(character).partition(" ")[0]
        if form in {"<super>", "<sub>"}:
            spelt.append(character)  # refused below: 4⁷⁄₈ must not become 47/8
            continue
        digit = unicodedata.decimal(character, None)  # any script's digits
        plain = unicodedata.normalize("NFKC", character) if digit is None else str(digit)
        spelt.append(f" {plain}" if form == "<fraction>" else plain)
    tidy = " ".join("".join(spelt).replace("\u2044", "/").split()).lower()
    tidy = tidy.replace("\u2032\u2032", '"').replace("''", '"')
    if not tidy:
        raise Unreadable(Reason.EMPTY)
    if len(tidy) > MOST_CHARACTERS:
        raise Unreadable(Reason.UNREADABLE, tidy[:MOST_CHARACTERS] + "…")
    if tidy[0] in _MINUS:
        raise Unreadable(Reason.NEGATIVE, tidy)
    return tidy


def _number_and_unit(
    tidy: str, names: dict[str, str], unit: str, *, whole_units: set[str]
) -> tuple[Decimal, str]:
    match = _MEASURE.fullmatch(tidy)
    if match is None:
        raise Unreadable(Reason.UNREADABLE, tidy)
    word = (match["unit_f"] or match["unit"] or "").strip()
    if word and word not in names:
        raise Unreadable(Reason.UNKNOWN_UNIT, word)
    named = names[word] if word else unit
    if match["number"] is None:
        return _fraction(match), named
    return _decimal(match["number"], strict=named in whole_units), named


def _fraction(match: re.Match[str]) -> Decimal:
    over, under = Decimal(match["over"]), Decimal(match["under"])
    if under == 0 or (match["whole"] and over >= under):
        raise Unreadable(Reason.FRACTION, f"{match['over']}/{match['under']}")
    return Decimal(match["whole"] or 0) + over / under


def _decimal(number: str, *, strict: bool) -> Decimal:
    """A comma or a point as the decimal mark.

    One mark before exactly three digits could also part the thousands. A comma there is refused;
    a point only where nobody measures thousandths (`strict`), since a scale shows 1.250 kg.
    """
    if (mark := _THOUSANDS.fullmatch(number)) and (strict or mark[1] == ","):
        raise Unreadable(Reason.THOUSANDS, number)
    return Decimal(number.replace(",", "."))
