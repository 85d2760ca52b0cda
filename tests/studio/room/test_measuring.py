"""Lengths and masses of bars, as fine as they were measured, typed and shown."""

from dataclasses import dataclass

import pytest
from django.core.exceptions import ValidationError

from studio.room.measuring import (
    BarLengthField,
    BarMassField,
    fine_length,
    fine_length_number,
    fine_mass,
    tenth_text,
)


@dataclass
class In:
    length_unit: str
    mass_unit: str = "kg"


def plain(text: str) -> str:
    return text.replace("\xa0", " ")


@pytest.mark.parametrize(
    ("mm", "unit", "shown"),
    [
        (100, "mm", "100 mm"),
        (93.5, "mm", "93.5 mm"),
        (93.46, "mm", "93.5 mm"),
        (93.5, "cm", "9.35 cm"),
        (100.0, "cm", "10 cm"),
        (101.6, "in", "4 in"),
        (93.6625, "in", "3 11/16 in"),
        (94.0594, "in", "3 45/64 in"),  # 94.059375 mm, kept to a ten-thousandth
        (93.5, "in", "3.681 in"),
        (22.225, "in", "7/8 in"),
    ],
)
def test_a_length_is_shown_as_it_was_read(mm: float, unit: str, shown: str) -> None:
    """An inch is 25.4 mm (the international agreement of 1959)."""
    assert plain(fine_length(mm, In(unit))) == shown


@pytest.mark.parametrize("typed", ["3 11/16", "3 45/64", "3.681", "93.5 mm", "9.35 cm", "4"])
@pytest.mark.parametrize("unit", ["mm", "cm", "in"])
def test_what_is_shown_reads_back_within_a_tenth_of_a_millimetre(typed: str, unit: str) -> None:
    field = BarLengthField(units=In("in"))
    mm = field.clean(typed)
    assert mm is not None
    back = BarLengthField(units=In(unit)).clean(plain(fine_length_number(mm, In(unit))))
    assert back == pytest.approx(mm, abs=0.05)


def test_a_length_out_of_bounds_is_refused_in_the_unit_of_the_studio() -> None:
    field = BarLengthField(units=In("cm"), at_least=20, at_most=500)
    with pytest.raises(ValidationError) as refused:
        field.clean("93.5")  # millimetres, in a studio of centimetres
    assert plain(refused.value.messages[0]) == "93.5 cm is too much. Type at most 50 cm."
    with pytest.raises(ValidationError) as refused:
        field.clean("1 mm")
    assert plain(refused.value.messages[0]) == "0.1 cm is too little. Type at least 2 cm."


def test_a_mass_is_in_grams_to_a_tenth() -> None:
    field = BarMassField(at_least=1, at_most=5000)
    assert field.clean("61.4") == 61.4
    assert field.clean("2 oz") == pytest.approx(56.699)  # an ounce is 28.349523125 g
    assert field.prepare_value(61.40) == "61.4"
    assert plain(fine_mass(61.0)) == "61 g"
    with pytest.raises(ValidationError) as refused:
        field.clean("6 kg")
    assert plain(refused.value.messages[0]) == "6000 g is too much. Type at most 5000 g."


def test_figures_of_a_column_end_at_the_same_place() -> None:
    assert [tenth_text(value) for value in (6, 5.95, 11.449)] == ["6.0", "6.0", "11.4"]
