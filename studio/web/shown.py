"""Measures as text for people, in the studio's units and the language's own figures."""

import datetime

from django.utils import timezone
from django.utils.formats import date_format, number_format, time_format
from django.utils.translation import gettext, pgettext

from studio.units.scales import (
    Number,
    Units,
    exact,
    shown_inches,
    shown_length,
    shown_mass,
    shown_mass_range,
    shown_volume,
)

# Keeps a number and its unit on one line.
NBSP = "\u00a0"
MINUS = "\u2212"
WEEK = 7
_QUARTERS = ("", "¼", "½", "¾")


def number_text(value: Number) -> str:
    """A number with the decimal places it has, in the language's figures."""
    decimal = exact(value)
    places = max(0, -int(decimal.as_tuple().exponent))
    text = number_format(abs(decimal), decimal_pos=places)
    return f"{MINUS}{text}" if decimal < 0 else text


def length_number_text(mm: Number, units: Units) -> str:
    """A length without its unit, as a ruler shows it: `285`, `28.5` or `11 1/4`."""
    if units.length_unit != "in":
        return number_text(shown_length(mm, units.length_unit))
    inches = shown_inches(mm)
    parts = [number_text(inches.whole)] if inches.whole or not inches.numerator else []
    if inches.numerator:
        parts.append(f"{number_text(inches.numerator)}/{number_text(inches.denominator)}")
    return (MINUS if inches.negative else "") + NBSP.join(parts)


def length_text(mm: Number, units: Units) -> str:
    """A length with its unit: `28.5 cm`, `11 1/4 in`."""
    return length_number_text(mm, units) + NBSP + length_unit_text(units)


def length_unit_text(units: Units) -> str:
    return {
        "mm": pgettext("unit of length", "mm"),
        "cm": pgettext("unit of length", "cm"),
        "in": pgettext("unit of length", "in"),
    }[units.length_unit]


def mass_number_text(grams: Number, units: Units) -> str:
    """A mass without its unit, as a scale shows it: `2340`, `2.34` or `5.16`."""
    return number_text(shown_mass(grams, units.mass_unit))


def mass_text(grams: Number, units: Units) -> str:
    """A mass with its unit: `2.34 kg`."""
    return mass_number_text(grams, units) + NBSP + mass_unit_text(units)


def mass_unit_text(units: Units) -> str:
    return {
        "g": pgettext("unit of mass", "g"),
        "kg": pgettext("unit of mass", "kg"),
        "lb": pgettext("unit of mass", "lb"),
    }[units.mass_unit]


def mass_range_text(low_g: Number, high_g: Number, units: Units) -> str:
    """An estimate with its range: `2.3 to 2.9 kg`; one figure where both ends read the same."""
    low, high = shown_mass_range(low_g, high_g, units.mass_unit)
    unit = mass_unit_text(units)
    if low == high:
        return number_text(high) + NBSP + unit
    # Translators: a range of two masses, such as "2.3 to 2.9 kg".
    return gettext("%(low)s to %(high)s") % {
        "low": number_text(low),
        "high": number_text(high) + NBSP + unit,
    }


def volume_text(cm3: Number, units: Units) -> str:
    """A volume with its unit: `950 cm³`, `1.9 litres`; in a studio of inches US measures."""
    figure, unit = shown_volume(cm3, units.length_unit)
    words = {
        "cm3": pgettext("unit of volume", "cm³"),
        "l": pgettext("unit of volume", "litres"),
        "fl oz": pgettext("unit of volume, US", "fl oz"),
        "qt": pgettext("unit of volume, US", "quarts"),
    }
    return number_text(figure) + NBSP + words[unit]


def percent_text(percent: Number) -> str:
    """Parts in a hundred, to one decimal where there is one: `12%`, `12.5%`."""
    rounded = round(exact(percent), 1)
    whole = rounded.to_integral_value()
    number = number_text(whole if rounded == whole else rounded)
    # Translators: a percentage; %(number)s is the figure, %% the sign.
    return gettext("%(number)s%%") % {"number": number}


def day_text(when: datetime.date | datetime.datetime, today: datetime.date | None = None) -> str:
    """A local date in words, by its nearness where `today` is given: `Thursday`, `14 March`."""
    if isinstance(when, datetime.datetime):
        when = timezone.localtime(when).date() if timezone.is_aware(when) else when.date()
    if today is None:
        # Translators: a date in words, in Django's date format: "Thursday 14 March 2024".
        return date_format(when, pgettext("date in words", "l j F Y"))
    away = (when - today).days
    if away in (near := {-1: gettext("yesterday"), 0: gettext("today"), 1: gettext("tomorrow")}):
        return near[away]
    if 0 < away < WEEK:
        return date_format(when, "l")
    if when.year == today.year:
        # Translators: a date of this year in words, in Django's date format.
        return date_format(when, pgettext("date of this year", "l j F"))
    return date_format(when, pgettext("date in words", "l j F Y"))


def short_day_text(on: datetime.date) -> str:
    """A date where room is short, on one line: `Fri 4 Dec`."""
    # Translators: a date in few letters, in Django's date format: "Fri 4 Dec".
    text: str = date_format(on, pgettext("date in few letters", "D j M"))
    return text.replace(" ", NBSP)


def clock_text(when: datetime.datetime | datetime.time) -> str:
    """A local time of day: `14:30`. Firings run at night, where "2:30" would be two times."""
    if isinstance(when, datetime.datetime) and timezone.is_aware(when):
        when = timezone.localtime(when)
    # Translators: a time of day, in Django's format.
    return time_format(when, pgettext("time of day", "H:i"))


def temperature_text(celsius: Number) -> str:
    """A temperature to a degree, which is more than a kiln knows: `1222 °C`."""
    return number_text(round(exact(celsius))) + NBSP + pgettext("unit of temperature", "°C")


def hours_text(hours: Number) -> str:
    """A duration in hours and quarters of one, no finer than anybody stands at a kiln."""
    quarters = round(exact(hours) * 4)
    whole, rest = divmod(quarters, 4)
    minutes = rest * 15
    if not whole:
        return number_text(minutes) + NBSP + pgettext("unit of time", "min")
    text = number_text(whole) + NBSP + pgettext("unit of time", "h")
    if not minutes:
        return text
    return text + NBSP + number_text(minutes) + NBSP + pgettext("unit of time", "min")


def seam_hour_text(hour: float) -> str:
    """Where a seam lies, as an hour of the clock laid round a pot, to a quarter: `12`, `4½`."""
    whole, quarter = divmod(round(hour * 4) % 48, 4)
    return number_text(whole or 12) + _QUARTERS[quarter]
