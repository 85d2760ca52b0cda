"""Sentences of the pure kiln modules in the reader's language and the studio's units."""

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal

from django.utils.translation import gettext, pgettext

from studio.errors import Problem, Refused
from studio.units.scales import Metric, Units
from studio.web.shown import (
    NBSP,
    hours_text,
    length_text,
    number_text,
    percent_text,
    temperature_text,
)

from .heat.cautions import CAUTIONS, Caution
from .refusal import MESSAGES, Trouble

Values = Mapping[str, float | str]


def refused(troubles: Iterable[Trouble], units: Units | None = None) -> Refused:
    """What can't be computed, each reason at its path."""
    return Refused.all_of(
        Problem(sentence(MESSAGES[each.code], each.values, units), each.path) for each in troubles
    )


def caution_sentence(caution: Caution, units: Units | None = None) -> str:
    """What the reader of a computed firing should know."""
    return sentence(CAUTIONS[caution.code], caution.values, units)


def sentence(message: str, values: Values, units: Units | None = None) -> str:
    """A sentence of a pure module with its values as people read them. The ending of a value's
    name gives its unit.
    """
    shown = {name: _shown(name, value, units or Metric()) for name, value in values.items()}
    return gettext(message) % shown


def rate_text(rate_c_per_h: float) -> str:
    """`60 °C/h`; below ten to a tenth."""
    places = 0 if rate_c_per_h >= 10 else 1  # noqa: PLR2004
    rounded = round(Decimal(str(rate_c_per_h)), places)
    return number_text(rounded) + NBSP + pgettext("unit of a heating rate", "°C/h")


def power_text(kilowatts: float) -> str:
    """`7.5 kW`: a tenth is more than is known."""
    rounded = round(Decimal(str(kilowatts)), 1)
    return number_text(rounded) + NBSP + pgettext("unit of power", "kW")


def _shown(name: str, value: float | str, units: Units) -> str:
    if isinstance(value, str):
        return value
    if name.endswith("_mm"):
        return length_text(value, units)
    text = next((each for end, each in _TEXTS.items() if name.endswith(end)), number_text)
    return text(value)


# By the ending of a value's name; a rate ends in `_h` too and stands first.
_TEXTS: Mapping[str, Callable[[float], str]] = {
    "_c_per_h": rate_text,
    "_c": temperature_text,
    "_kw": power_text,
    "_h": hours_text,
    "_pct": percent_text,
}
