"""What a ruler and a scale can show, and the exact factors between units.

Pure: the standard library only. Inside, lengths are millimetres and masses grams.
"""

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from typing import Protocol

# Exactly, by the international yard and pound agreement of 1959: 1 yd = 0.9144 m and
# 1 lb = 0.453 592 37 kg; an inch is 1/36 yd and an ounce 1/16 lb.
MM_PER_INCH = Decimal("25.4")
G_PER_POUND = Decimal("453.59237")
G_PER_OUNCE = G_PER_POUND / 16

MM_PER: dict[str, Decimal] = {"mm": Decimal(1), "cm": Decimal(10), "in": MM_PER_INCH}
G_PER: dict[str, Decimal] = {"g": Decimal(1), "kg": Decimal(1000), "lb": G_PER_POUND}
SIXTEENTHS = 16

# Exactly: a US gallon is 231 cubic inches, a quart its quarter, a fluid ounce a 32nd of a quart
# (NIST Handbook 44, appendix C; NIST SP 811, appendix B.8).
CM3_PER_QUART = 231 * (MM_PER_INCH / 10) ** 3 / 4
CM3_PER_FLUID_OUNCE = CM3_PER_QUART / 32
CM3_PER_LITRE = Decimal(1000)
CM3_PER: dict[str, Decimal] = {
    "cm3": Decimal(1),
    "l": CM3_PER_LITRE,
    "fl oz": CM3_PER_FLUID_OUNCE,
    "qt": CM3_PER_QUART,
}

Number = Decimal | float | int


class Units(Protocol):
    """Whatever carries a studio's choice of units."""

    @property
    def length_unit(self) -> str: ...

    @property
    def mass_unit(self) -> str: ...


@dataclass(frozen=True)
class Metric:
    """The units of someone without a studio."""

    length_unit: str = "mm"
    mass_unit: str = "g"


@dataclass(frozen=True)
class Inches:
    """A length as a ruler in inches shows it: whole inches and a reduced fraction.

    `negative` stands apart, so that -3/8 keeps its sign.
    """

    whole: int
    numerator: int
    denominator: int
    negative: bool = False


def exact(value: Number) -> Decimal:
    """`value` as the decimal that a person would write for it (0.1, not 0.1000000000000000055)."""
    return value if isinstance(value, Decimal) else Decimal(repr(value))


def length_step(unit: str) -> Decimal:
    """The finest mark of a ruler, in `unit`: 1 mm, 0.1 cm or 1/16 in."""
    return {"mm": Decimal(1), "cm": Decimal("0.1"), "in": Decimal(1) / SIXTEENTHS}[unit]


def mass_step(grams: Number, unit: str) -> Decimal:
    """The finest figure of a scale, in `unit`, at this load.

    1 g; 0.01 kg or lb below ten, 0.1 from ten on. Common practice, no source: bench scales
    resolve about a part in a thousand.
    """
    if unit == "g":
        return Decimal(1)
    return Decimal("0.1") if abs(exact(grams)) >= 10 * G_PER[unit] else Decimal("0.01")


def shown_length(mm: Number, unit: str) -> Decimal:
    """`mm` in `unit` ("mm" or "cm"), rounded half up to what a ruler shows."""
    return _to_step(exact(mm) / MM_PER[unit], length_step(unit), ROUND_HALF_UP)


def shown_inches(mm: Number) -> Inches:
    """`mm` in inches, rounded half up to a sixteenth, the fraction reduced."""
    sixteenths = int(
        (abs(exact(mm)) / MM_PER_INCH * SIXTEENTHS).to_integral_value(rounding=ROUND_HALF_UP)
    )
    whole, numerator = divmod(sixteenths, SIXTEENTHS)
    denominator = SIXTEENTHS
    while numerator and numerator % 2 == 0:
        numerator, denominator = numerator // 2, denominator // 2
    return Inches(whole, numerator, denominator if numerator else 1, mm < 0 and sixteenths > 0)


def shown_mass(grams: Number, unit: str) -> Decimal:
    """`grams` in `unit`, rounded half up to what a scale shows."""
    return _to_step(exact(grams) / G_PER[unit], mass_step(grams, unit), ROUND_HALF_UP)


def shown_volume(cm3: Number, length_unit: str) -> tuple[Decimal, str]:
    """`cm3` as a measuring jug beside such a ruler shows it, and its unit: whole "cm3" below a
    litre, then "l" to one decimal; with inches whole "fl oz" below a US quart, then "qt"."""
    small, large = ("fl oz", "qt") if length_unit == "in" else ("cm3", "l")
    value = exact(cm3)
    few = _to_step(value / CM3_PER[small], Decimal(1), ROUND_HALF_UP)
    if few * CM3_PER[small] < CM3_PER[large]:
        return few, small
    return _to_step(value / CM3_PER[large], Decimal("0.1"), ROUND_HALF_UP), large


def shown_mass_range(low_g: Number, high_g: Number, unit: str) -> tuple[Decimal, Decimal]:
    """An estimate in `unit` with two significant figures, widened outwards so that it stays true.

    Raises ValueError where `low_g` exceeds `high_g` or is negative.
    """
    if not 0 <= low_g <= high_g:
        message = "a range runs from a lower mass to a higher one, neither below zero"
        raise ValueError(message)
    high = exact(high_g) / G_PER[unit]
    two_figures = Decimal(1).scaleb(high.adjusted() - 1) if high else Decimal(1)
    step = max(two_figures, mass_step(high_g, unit))
    return (
        _to_step(exact(low_g) / G_PER[unit], step, ROUND_FLOOR),
        _to_step(high, step, ROUND_CEILING),
    )


def _to_step(value: Decimal, step: Decimal, rounding: str) -> Decimal:
    """`value` to a `step` that is a power of ten, with as many places as the step has."""
    rounded = value.quantize(step, rounding)
    return abs(rounded) if rounded == 0 else rounded  # no "-0"
