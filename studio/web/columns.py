"""What a form takes over from a table: the name of a column and its limits."""

from typing import Any

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.text import capfirst
from django_stubs_ext import StrOrPromise


def column(model: type[models.Model], name: str) -> "models.Field[Any, Any]":
    """The column `name` of a table."""
    field = model._meta.get_field(name)
    if not isinstance(field, models.Field):
        raise TypeError(f"{name} is not a column of {model.__name__}")
    return field


def label(field: "models.Field[Any, Any]") -> StrOrPromise:
    """Its name as a form shows it, in the language of the page."""
    return capfirst(field.verbose_name)


def limits(field: "models.Field[Any, Any]") -> tuple[Any, Any]:
    """The least and the most that its validators take; None where there is no such limit."""
    values = {
        type(each): each.limit_value
        for each in field.validators
        if isinstance(each, MinValueValidator | MaxValueValidator)
    }
    return values.get(MinValueValidator), values.get(MaxValueValidator)
