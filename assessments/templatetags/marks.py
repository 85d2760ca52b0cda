"""Filters for marks."""

from decimal import Decimal

from django import template

from assessments.selectors.wording import points_text

register = template.Library()


@register.filter
def points(value: Decimal | None) -> str:
    """`{{ level.points|points }}`: `3` or `2.5`, no more digits than it has."""
    return "" if value is None else points_text(value)
