"""Filters through which every number, unit and date of a template goes.

`units` is the studio, or anything else with `length_unit` and `mass_unit`. What is not there
(None) shows as nothing.
"""

import datetime
from typing import Any

from django import template
from django.template.defaultfilters import length as how_many
from django.utils import timezone

from studio.units.scales import Metric, Number, Units
from studio.web import shown

register = template.Library()
_NO_UNITS = Metric()


@register.filter
def length(value: Any, units: Units | None = _NO_UNITS) -> str | int:
    """`{{ plan.height_mm|length:units }}`: a length with its unit.

    Without an argument it stays Django's own `length`, so that loading this library
    takes nothing away.
    """
    if units is _NO_UNITS:
        return how_many(value)
    return "" if value is None else shown.length_text(value, _known(units))


@register.filter
def length_number(value: Number | None, units: Units | None) -> str:
    """A length without its unit, where the unit stands once for a whole drawing or column."""
    return "" if value is None else shown.length_number_text(value, _known(units))


@register.filter
def length_unit(units: Units | None) -> str:
    """The short name of the unit itself: `{{ units|length_unit }}`."""
    return shown.length_unit_text(_known(units))


@register.filter
def mass(value: Number | None, units: Units | None) -> str:
    """A mass with its unit."""
    return "" if value is None else shown.mass_text(value, _known(units))


@register.filter
def mass_range(value: tuple[Number, Number] | None, units: Units | None) -> str:
    """`{{ figures.issue_range_g|mass_range:units }}`: a pair (low, high) in grams."""
    return "" if value is None else shown.mass_range_text(*value, _known(units))


@register.filter
def volume(value: Number | None, units: Units | None) -> str:
    """A volume given in cm³, in the measures that go with the studio's lengths."""
    return "" if value is None else shown.volume_text(value, _known(units))


@register.filter
def percent(value: Number | None) -> str:
    """A figure that is already in parts of a hundred, as every `_pct` is."""
    return "" if value is None else shown.percent_text(value)


@register.filter
def number(value: Number | None) -> str:
    """A plain number in the language's figures."""
    return "" if value is None else shown.number_text(value)


@register.filter
def day(value: datetime.date | None, today: datetime.date | None = None) -> str:
    """A local date in words; with `today`, as near as "tomorrow" or "Thursday"."""
    return "" if value is None else shown.day_text(value, today)


@register.filter
def iso(value: datetime.date | None) -> str:
    """A local date as addresses carry it: 2026-03-11."""
    if isinstance(value, datetime.datetime):
        value = timezone.localtime(value).date()
    return "" if value is None else value.isoformat()


@register.filter
def clock(value: datetime.datetime | datetime.time | None) -> str:
    """A local time of day."""
    return "" if value is None else shown.clock_text(value)


@register.filter
def temperature(value: Number | None) -> str:
    """A temperature in °C."""
    return "" if value is None else shown.temperature_text(value)


@register.filter
def hours(value: Number | None) -> str:
    """A duration given in hours."""
    return "" if value is None else shown.hours_text(value)


def _known(units: Units | None) -> Units:
    """The units of a page without a studio are metric."""
    return Metric() if units is None else units
