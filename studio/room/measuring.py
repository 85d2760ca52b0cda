"""Test bars are measured finer than pots: half a millimetre with a ruler, a tenth with calipers, a
tenth of a gram on a small scale. What is typed and shown keeps that.
"""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from django.utils.formats import number_format

from studio.units.scales import MM_PER, MM_PER_INCH, Metric, Number, Units, exact
from studio.web.fields import LengthField, MassField
from studio.web.shown import NBSP, length_unit_text, mass_unit_text, number_text

FINEST = {"mm": Decimal("0.1"), "cm": Decimal("0.01"), "in": Decimal("0.001")}
FINEST_G = Decimal("0.1")
SIXTY_FOURTHS = 64
NEAR_MM = Decimal("0.001")
GRAMS = Metric()
"""Bars are weighed in grams, whatever clay is weighed in."""


def fine_length_number(mm: Number, units: Units) -> str:
    """`93.5`, `9.35`, or in inches `3 11/16` where it is a fraction of a ruler, else `3.681`."""
    unit = units.length_unit
    if unit == "in" and (fraction := _fraction_of_a_ruler(exact(mm))) is not None:
        whole, rest = divmod(fraction, 1)
        parts = [number_text(int(whole))] if whole or not rest else []
        parts += [f"{number_text(rest.numerator)}/{number_text(rest.denominator)}"] if rest else []
        return NBSP.join(parts)
    return number_text(_to(exact(mm) / MM_PER[unit], FINEST[unit]))


def fine_length(mm: Number, units: Units) -> str:
    return fine_length_number(mm, units) + NBSP + length_unit_text(units)


def fine_mass_number(grams: Number) -> str:
    return number_text(_to(exact(grams), FINEST_G))


def fine_mass(grams: Number) -> str:
    return fine_mass_number(grams) + NBSP + mass_unit_text(GRAMS)


def tenth(value: float) -> Decimal:
    """Rounded half up to one decimal; what binary floats miss below a millionth doesn't count."""
    return _rounded(exact(round(value, 6)), Decimal("0.1"))


def tenth_text(value: float) -> str:
    """One decimal, also where it is zero: figures in a column end at the same place."""
    return number_format(tenth(value), decimal_pos=1)


def _fraction_of_a_ruler(mm: Decimal) -> Fraction | None:
    parts = round(mm / MM_PER_INCH * SIXTY_FOURTHS)
    near = abs(Decimal(parts) / SIXTY_FOURTHS * MM_PER_INCH - mm) < NEAR_MM
    return Fraction(parts, SIXTY_FOURTHS) if near else None


def _rounded(value: Decimal, step: Decimal) -> Decimal:
    return value.quantize(step, ROUND_HALF_UP)


def _to(value: Decimal, step: Decimal) -> Decimal:
    """Without zeros at its end: 94, not 94.0."""
    rounded = _rounded(value, step).normalize()
    return rounded.quantize(Decimal(1)) if rounded == rounded.to_integral_value() else rounded


class BarLengthField(LengthField):
    """A distance between marks, in the studio's units and as fine as it was measured."""

    def _number(self, value: float | Decimal) -> str:
        return fine_length_number(value, self.units)

    def _text(self, value: float | Decimal) -> str:
        return fine_length(value, self.units)

    def _step(self, value: float) -> float:
        return float(FINEST[self.units.length_unit] * MM_PER[self.units.length_unit])


class BarMassField(MassField):
    """A bar's mass in grams; other units are read too."""

    def _number(self, value: float | Decimal) -> str:
        return fine_mass_number(value)

    def _text(self, value: float | Decimal) -> str:
        return fine_mass(value)

    def _step(self, value: float) -> float:
        return float(FINEST_G)
