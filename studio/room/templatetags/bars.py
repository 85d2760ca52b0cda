"""Figures of test bars, finer than those of pots. What is not there (None) shows as nothing."""

from typing import Any

from django import template

from studio.room import measuring
from studio.room.shrinkage import Spread, dry_basis_pct
from studio.units.scales import Metric, Number, Units
from studio.web.shown import number_text

register = template.Library()


@register.filter
def fine_length(value: Number | None, units: Units | None) -> str:
    return "" if value is None else measuring.fine_length(value, units or Metric())


@register.filter
def fine_length_number(value: Number | None, units: Units | None) -> str:
    return "" if value is None else measuring.fine_length_number(value, units or Metric())


@register.filter
def tenth(value: float | None) -> str:
    """A figure with one decimal, without its unit."""
    return "" if value is None else measuring.tenth_text(value)


@register.filter
def on_dry_basis(value: float | None) -> Any:
    """Water of the wet mass as water of the dry mass, both in per cent."""
    return None if value is None else dry_basis_pct(value)


@register.filter
def mean(spread: Spread | None) -> str:
    return "" if spread is None else measuring.tenth_text(spread.mean)


@register.filter
def plus_minus(spread: Spread | None) -> str:
    """The standard deviation; one bar has none."""
    if spread is None or spread.deviation is None:
        return ""
    return f"±{measuring.tenth_text(spread.deviation)}"


@register.filter
def least(spread: Spread | None) -> str:
    return "" if spread is None else measuring.tenth_text(spread.least)


@register.filter
def most(spread: Spread | None) -> str:
    return "" if spread is None else measuring.tenth_text(spread.most)


@register.filter
def how_many_bars(spread: Spread | None) -> str:
    return "" if spread is None else number_text(spread.bars)
