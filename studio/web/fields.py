"""Form fields for lengths and masses: any unit typed, millimetres and grams cleaned.

What was typed comes back as typed when it is refused, and a field left as it was shown keeps
its exact value: showing 123 mm as 4 13/16 in must not turn it into 122.2375 mm.
"""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms.boundfield import BoundField
from django.utils.translation import gettext, gettext_lazy

from studio.units.scales import G_PER, MM_PER, Metric, Units, length_step, mass_step
from studio.units.typed import Reason, Unreadable, typed_length_mm, typed_mass_g
from studio.web import shown

_MESSAGES = {
    Reason.UNREADABLE: gettext_lazy(
        "“%(part)s” can't be read as a measure. Type a number such as %(example)s."
    ),
    Reason.UNKNOWN_UNIT: gettext_lazy(
        "“%(part)s” is not a unit that is known here. Leave it away, or use %(units)s."
    ),
    Reason.NEGATIVE: gettext_lazy("“%(part)s” is below zero. Type the measure without a minus."),
    Reason.THOUSANDS: gettext_lazy(
        "“%(part)s” can be read in two ways. Type it without a mark between thousands, "
        "and with at most two decimals."
    ),
    Reason.FRACTION: gettext_lazy(
        "“%(part)s” is not a fraction of a ruler. Type one such as 7/8 or 3/16."
    ),
    Reason.TOO_LARGE: gettext_lazy("“%(part)s” is too large. Check the number and its unit."),
}


_FIGURES = (int, float, Decimal)


class _MeasureField(forms.Field):
    """A text field that reads a measure; see the two below."""

    widget = forms.TextInput

    def __init__(
        self,
        *,
        units: Units | None = None,
        at_least: float | None = None,
        at_most: float | None = None,
        **kwargs: Any,
    ) -> None:
        self.units: Units = units or Metric()
        self.at_least, self.at_most = at_least, at_most
        self._before: Any = None
        super().__init__(**kwargs)

    @property
    def unit(self) -> str:
        """The unit's short name, which the page sets after the input."""
        raise NotImplementedError

    def get_bound_field(self, form: forms.BaseForm, field_name: str) -> BoundField:
        self.widget.attrs["inputmode"] = self._keyboard()  # the form may have set its units
        self._before = form.get_initial_for_field(self, field_name)
        return super().get_bound_field(form, field_name)

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {"autocomplete": "off", "maxlength": 40}

    def prepare_value(self, value: Any) -> Any:
        return self._typable(value) if isinstance(value, _FIGURES) else value

    def to_python(self, value: Any) -> float | None:
        text = str(value or "").strip()
        if not text:
            return None
        if isinstance(self._before, _FIGURES) and self._typable(self._before) == text:
            return float(self._before)
        try:
            return float(self._read(text))
        except Unreadable as refusal:
            params = {"part": refusal.part, "example": self._example(), "units": self._unit_words}
            code = refusal.reason.name.lower()
            raise ValidationError(_MESSAGES[refusal.reason], code=code, params=params) from None

    def validate(self, value: float | None) -> None:
        if value is None:
            if self.required:
                message = gettext("A measure is missing here. Type one such as %(example)s.")
                raise ValidationError(message, "required", {"example": self._example()})
            return
        if self.at_least is not None and value < self.at_least:
            # The limit as a ruler shows it, rounded inwards, so that it passes when typed.
            limit = self.at_least + self._step(self.at_least) * 0.4999
            message = gettext("%(value)s is too little. Type at least %(limit)s.")
            raise ValidationError(message, "too_little", self._limited(value, limit))
        if self.at_most is not None and value > self.at_most:
            limit = self.at_most - self._step(self.at_most) * 0.5
            message = gettext("%(value)s is too much. Type at most %(limit)s.")
            raise ValidationError(message, "too_much", self._limited(value, limit))

    def has_changed(self, initial: Any, data: Any) -> bool:
        shown_before = self._typable(initial) if isinstance(initial, _FIGURES) else initial or ""
        return bool(shown_before != (data or ""))

    def _limited(self, value: float, limit: float) -> dict[str, str]:
        return {"value": self._text(value), "limit": self._text(limit)}

    def _typable(self, value: float | Decimal) -> str:
        """The shown number as fingers type it: plain spaces, plain minus."""
        return self._number(value).replace(shown.NBSP, " ").replace(shown.MINUS, "-")

    def _keyboard(self) -> str:
        return "decimal"

    # What a length and a mass differ in.
    _unit_words = ""

    def _read(self, text: str) -> Decimal:
        raise NotImplementedError

    def _number(self, value: float | Decimal) -> str:
        raise NotImplementedError

    def _text(self, value: float | Decimal) -> str:
        raise NotImplementedError

    def _step(self, value: float) -> float:
        raise NotImplementedError

    def _example(self) -> str:
        raise NotImplementedError


class LengthField(_MeasureField):
    """A length in any unit, cleaned to millimetres (float). Limits are in millimetres."""

    _unit_words = "mm, cm, in"

    @property
    def unit(self) -> str:
        return shown.length_unit_text(self.units)

    def _read(self, text: str) -> Decimal:
        return typed_length_mm(text, self.units.length_unit)

    def _number(self, value: float | Decimal) -> str:
        return shown.length_number_text(value, self.units)

    def _text(self, value: float | Decimal) -> str:
        return shown.length_text(value, self.units)

    def _step(self, value: float) -> float:
        unit = self.units.length_unit
        return float(length_step(unit) * MM_PER[unit])

    def _example(self) -> str:
        return shown.length_text(125 if self.units.length_unit != "in" else 123.825, self.units)

    def _keyboard(self) -> str:
        # A number pad has no slash for 4 7/8.
        return "text" if self.units.length_unit == "in" else "decimal"


class MassField(_MeasureField):
    """A mass in any unit, cleaned to grams (float). Limits are in grams."""

    _unit_words = "g, kg, lb, oz"

    @property
    def unit(self) -> str:
        return shown.mass_unit_text(self.units)

    def _read(self, text: str) -> Decimal:
        return typed_mass_g(text, self.units.mass_unit)

    def _number(self, value: float | Decimal) -> str:
        return shown.mass_number_text(value, self.units)

    def _text(self, value: float | Decimal) -> str:
        return shown.mass_text(value, self.units)

    def _step(self, value: float) -> float:
        unit = self.units.mass_unit
        return float(mass_step(value, unit) * G_PER[unit])

    def _example(self) -> str:
        return shown.mass_text(2500, self.units)


def set_units(form: forms.Form, units: Units) -> None:
    """Lengths are typed and shown in these units."""
    for field in form.fields.values():
        if isinstance(field, LengthField):
            field.units = units


def set_mass_units(form: forms.Form, units: Units) -> None:
    """Masses are typed and shown in these units."""
    for field in form.fields.values():
        if isinstance(field, MassField):
            field.units = units
