"""Form fields of tables: their names, limits and words come from the columns."""

from typing import Any

from django import forms
from django.db import models

from studio.web.columns import column, label, limits
from studio.web.fields import LengthField, MassField

Table = type[models.Model]


def text(table: Table, name: str, **kwargs: Any) -> forms.CharField:
    field = column(table, name)
    given: dict[str, Any] = {
        "label": label(field),
        "help_text": field.help_text,
        "max_length": field.max_length,
        "required": not field.blank,
    }
    return forms.CharField(**given | kwargs)


def length(table: Table, name: str, **kwargs: Any) -> LengthField:
    field = column(table, name)
    least, most = limits(field)
    given: dict[str, Any] = {
        "label": label(field),
        "help_text": field.help_text,
        "at_least": least,
        "at_most": most,
    }
    return LengthField(**given | kwargs)


def mass(table: Table, name: str, **kwargs: Any) -> MassField:
    field = column(table, name)
    least, most = limits(field)
    return MassField(label=label(field), at_least=least, at_most=most, **kwargs)


def whole(table: Table, name: str, **kwargs: Any) -> forms.IntegerField:
    field = column(table, name)
    least, most = limits(field)
    words = {"help_text": field.help_text} | kwargs
    return forms.IntegerField(label=label(field), min_value=least, max_value=most, **words)


def figure(table: Table, name: str) -> forms.FloatField:
    """A number that may be left open."""
    field = column(table, name)
    least, most = limits(field)
    return forms.FloatField(
        label=label(field),
        help_text=field.help_text,
        required=False,
        min_value=least,
        max_value=most,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )


def hour(table: Table, name: str, **kwargs: Any) -> forms.TimeField:
    """A local time of day."""
    widget = forms.TimeInput(format="%H:%M", attrs={"type": "time"})
    return forms.TimeField(label=label(column(table, name)), widget=widget, **kwargs)
