"""A measure is typed in any unit, and refused with what to type instead."""

from collections import namedtuple

import pytest
from django import forms
from hypothesis import given
from hypothesis import strategies as st

from studio.web.fields import LengthField, MassField
from studio.web.shown import NBSP

Studio = namedtuple("Studio", "length_unit mass_unit")
UNITS = [Studio("mm", "g"), Studio("cm", "kg"), Studio("in", "lb")]
CENTIMETRES, INCHES = UNITS[1], UNITS[2]


class PotForm(forms.Form):
    height = LengthField(at_least=40, at_most=300)
    clay = MassField(required=False, at_most=5000)


def filled(units: Studio, initial: dict[str, float] | None = None, **data: str) -> PotForm:
    form = PotForm(data or None, initial=initial)
    for field in form.fields.values():
        assert isinstance(field, LengthField | MassField)
        field.units = units
    return form


def error(form: PotForm, field: str = "height") -> str:
    return " ".join(map(str, form.errors[field])).replace(NBSP, " ")


def test_typed_measures_arrive_in_millimetres_and_grams() -> None:
    form = filled(CENTIMETRES, height="4 7/8 in", clay="2,5")
    assert form.is_valid(), form.errors
    assert form.cleaned_data == {"height": 123.825, "clay": 2500.0}


def test_an_empty_measure_is_none_where_it_may_be() -> None:
    form = filled(CENTIMETRES, height="12")
    assert form.is_valid()
    assert form.cleaned_data["clay"] is None


@pytest.mark.parametrize(
    ("units", "typed", "message"),
    [
        (CENTIMETRES, " ", "A measure is missing here. Type one such as 12.5 cm."),
        (INCHES, "", "A measure is missing here. Type one such as 4 7/8 in."),
        (
            CENTIMETRES,
            "tall",
            "“tall” can't be read as a measure. Type a number such as 12.5 cm.",
        ),
        (
            CENTIMETRES,
            "5 ft",
            "“ft” is not a unit that is known here. Leave it away, or use mm, cm, in.",
        ),
        (CENTIMETRES, "-5", "“-5” is below zero. Type the measure without a minus."),
        (
            CENTIMETRES,
            "1,200",
            (
                "“1,200” can be read in two ways. Type it without a mark between thousands, "
                "and with at most two decimals."
            ),
        ),
        (INCHES, "4 9/8", "“9/8” is not a fraction of a ruler. Type one such as 7/8 or 3/16."),
        (CENTIMETRES, "99999999", "“99999999” is too large. Check the number and its unit."),
        (CENTIMETRES, "3", "3.0 cm is too little. Type at least 4.0 cm."),
        (CENTIMETRES, "31", "31.0 cm is too much. Type at most 30.0 cm."),
        (INCHES, "1", "1 in is too little. Type at least 1 5/8 in."),
        (INCHES, "12", "12 in is too much. Type at most 11 3/4 in."),
    ],
)
def test_a_refusal_says_what_to_type(units: Studio, typed: str, message: str) -> None:
    assert error(filled(units, height=typed, clay="1")) == message


def test_a_mass_that_is_too_much_says_the_most() -> None:
    form = filled(INCHES, height="4", clay="6 kg")
    assert error(form, "clay") == "13.2 lb is too much. Type at most 11.0 lb."


@pytest.mark.parametrize("units", UNITS)
@given(limit=st.decimals(20, 900, places=1).map(float))
def test_a_shown_limit_passes_when_it_is_typed_back(units: Studio, limit: float) -> None:
    field = LengthField(units=units, at_least=limit)
    for bad in ("0", "1"):
        with pytest.raises(forms.ValidationError) as low:
            field.clean(bad + " mm")
        assert field.clean(low.value.messages[0].split("at least ")[1][:-1]) >= limit
    field = LengthField(units=units, at_most=limit)
    with pytest.raises(forms.ValidationError) as high:
        field.clean("9000 cm")
    assert field.clean(high.value.messages[0].split("at most ")[1][:-1]) <= limit


def test_what_was_typed_comes_back_as_typed() -> None:
    form = filled(INCHES, height="four", clay="2 lbs and a bit")
    assert not form.is_valid()
    assert 'value="four"' in str(form["height"])
    assert 'value="2 lbs and a bit"' in str(form["clay"])


@pytest.mark.parametrize("units", UNITS)
@given(height=st.floats(40, 300), clay=st.floats(0, 5000))
def test_a_field_left_as_shown_keeps_its_exact_value(
    units: Studio, height: float, clay: float
) -> None:
    before = {"height": height, "clay": clay}
    shown = filled(units, before)
    typed = {name: str(shown[name].field.prepare_value(before[name])) for name in before}
    form = filled(units, before, **typed)
    assert form.is_valid(), form.errors
    assert form.cleaned_data == before
    assert form.changed_data == []


def test_a_changed_measure_is_noticed() -> None:
    assert filled(CENTIMETRES, {"height": 123.0}, height="12.4").changed_data == ["height"]
    assert filled(CENTIMETRES, None, height="12.4").changed_data == ["height"]


def test_a_field_for_inches_has_a_keyboard_with_a_slash() -> None:
    assert 'inputmode="text"' in str(filled(INCHES)["height"])
    assert 'inputmode="decimal"' in str(filled(INCHES)["clay"])
    assert 'inputmode="decimal"' in str(filled(CENTIMETRES)["height"])


def test_a_field_names_its_unit_beside_the_input() -> None:
    fields = filled(INCHES).fields
    assert [getattr(field, "unit", None) for field in fields.values()] == ["in", "lb"]


def test_a_field_without_a_studio_reads_millimetres() -> None:
    assert LengthField().clean("125") == 125.0
