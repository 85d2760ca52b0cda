"""Shown measures are what a ruler or a scale shows, and read back as what they mean.

Factors: 1 in = 25.4 mm and 1 lb = 453.59237 g exactly, by the international yard and pound
agreement of 1959 (0.9144 m / 36; 0.45359237 kg).
"""

import subprocess
import sys
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.units.scales import (
    CM3_PER,
    G_PER,
    G_PER_OUNCE,
    MM_PER_INCH,
    Inches,
    length_step,
    mass_step,
    shown_inches,
    shown_length,
    shown_mass,
    shown_mass_range,
    shown_volume,
)

lengths_mm = st.floats(0, 3000)
masses_g = st.floats(0, 200_000)


def test_the_factors_are_those_of_the_1959_agreement() -> None:
    assert Decimal("914.4") == MM_PER_INCH * 36
    assert G_PER["lb"] == Decimal("453.59237")
    assert Decimal("28.349523125") == G_PER_OUNCE


def test_the_factors_of_volume_are_those_of_the_handbook() -> None:
    """NIST Handbook 44, appendix C, and SP 811, appendix B.8, exactly: 1 liquid quart (US) is
    0.946 352 946 litres, 1 fluid ounce (US) 29.573 529 562 5 millilitres."""
    assert CM3_PER["qt"] == Decimal("946.352946")
    assert CM3_PER["fl oz"] == Decimal("29.5735295625")


@pytest.mark.parametrize(
    ("cm3", "unit", "shown", "in_unit"),
    [
        (950.4, "mm", "950", "cm3"),
        (999.4, "cm", "999", "cm3"),
        (999.6, "cm", "1.0", "l"),
        (1950, "mm", "2.0", "l"),
        (0.3, "in", "0", "fl oz"),
        (473.176473, "in", "16", "fl oz"),  # a US pint
        (930, "in", "31", "fl oz"),
        (945, "in", "1.0", "qt"),
        (3785.411784, "in", "4.0", "qt"),  # a US gallon
    ],
)
def test_a_volume_is_shown_as_a_measuring_jug_shows_it(
    cm3: float, unit: str, shown: str, in_unit: str
) -> None:
    figure, name = shown_volume(cm3, unit)
    assert (str(figure), name) == (shown, in_unit)


@pytest.mark.parametrize(
    ("mm", "inches"),
    [
        (0, Inches(0, 0, 1)),
        (25.4, Inches(1, 0, 1)),
        (288.925, Inches(11, 3, 8)),
        (12.7, Inches(0, 1, 2)),
        (1.5875, Inches(0, 1, 16)),
        (0.79375, Inches(0, 1, 16)),  # half a sixteenth goes up
        (0.79, Inches(0, 0, 1)),
        (25.0, Inches(1, 0, 1)),  # 15.7 sixteenths
        (-9.525, Inches(0, 3, 8, negative=True)),
        (-0.1, Inches(0, 0, 1)),  # nothing is not negative
    ],
)
def test_inches_come_in_reduced_sixteenths(mm: float, inches: Inches) -> None:
    assert shown_inches(mm) == inches


@given(lengths_mm)
def test_inches_are_within_half_a_sixteenth(mm: float) -> None:
    shown = shown_inches(mm)
    back = (shown.whole + Decimal(shown.numerator) / shown.denominator) * MM_PER_INCH
    assert abs(back - Decimal(repr(mm))) <= MM_PER_INCH / 32


@pytest.mark.parametrize(
    ("mm", "unit", "shown"),
    [(285.4, "mm", "285"), (285.5, "mm", "286"), (285.5, "cm", "28.6"), (-13.0, "cm", "-1.3")],
)
def test_metric_lengths_round_half_up_to_a_millimetre(mm: float, unit: str, shown: str) -> None:
    assert str(shown_length(mm, unit)) == shown


@given(lengths_mm, st.sampled_from(["mm", "cm"]))
def test_metric_lengths_are_within_half_a_step(mm: float, unit: str) -> None:
    per = {"mm": 1, "cm": 10}[unit]
    assert abs(shown_length(mm, unit) * per - Decimal(repr(mm))) <= length_step(unit) * per / 2


@pytest.mark.parametrize(
    ("grams", "unit", "shown"),
    [
        (2340.4, "g", "2340"),
        (2344.0, "kg", "2.34"),
        (12_344.0, "kg", "12.3"),
        (2340.0, "lb", "5.16"),
        (9071.8474, "lb", "20.0"),
        (0.0, "kg", "0.00"),
    ],
)
def test_masses_show_what_a_scale_shows(grams: float, unit: str, shown: str) -> None:
    assert str(shown_mass(grams, unit)) == shown


@given(masses_g, st.sampled_from(["g", "kg", "lb"]))
def test_masses_are_within_half_a_step(grams: float, unit: str) -> None:
    error = shown_mass(grams, unit) * G_PER[unit] - Decimal(repr(grams))
    assert abs(error) <= mass_step(grams, unit) * G_PER[unit] / 2 * (1 + Decimal("1e-20"))


@given(masses_g, masses_g, st.sampled_from(["g", "kg", "lb"]))
def test_a_range_never_loses_a_mass_that_it_held(one: float, two: float, unit: str) -> None:
    low, high = sorted((one, two))
    shown_low, shown_high = shown_mass_range(low, high, unit)
    assert shown_low * G_PER[unit] <= Decimal(repr(low)) + Decimal("1e-9")
    assert shown_high * G_PER[unit] >= Decimal(repr(high)) - Decimal("1e-9")
    assert shown_low <= shown_high


def test_a_range_has_two_figures() -> None:
    assert shown_mass_range(2341, 2887, "g") == (Decimal(2300), Decimal(2900))
    assert shown_mass_range(2341, 2887, "kg") == (Decimal("2.3"), Decimal("2.9"))
    assert shown_mass_range(0, 0, "kg") == (Decimal(0), Decimal(0))


@pytest.mark.parametrize(("low", "high"), [(3, 2), (-1, 2)])
def test_a_range_that_runs_backwards_is_a_mistake_of_the_caller(low: float, high: float) -> None:
    with pytest.raises(ValueError, match="a range runs from a lower mass to a higher one"):
        shown_mass_range(low, high, "g")


def test_the_units_know_no_django() -> None:
    code = (
        "import sys, studio.units.scales, studio.units.typed;"
        "sys.exit(any(name.partition('.')[0] == 'django' for name in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
