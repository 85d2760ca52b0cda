"""Figures of test bars, finer than those of pots. What is not there (None) shows as nothing."""

from typing import Any

from django import template

from studio.room import measuring
from studio.room.shrinkage import Spread, dry_basis_pct
from studio.units.scales import Metric, Number, Units

register = template.Library()


@register.filter
def fine_length(value: Number | None, units: Units | None) -> str:
    return "" if value is None else measuring.fine_length(value, units or Metric())


@register.filter
def fine_length_number(value: Number | None, units: Units | None) -> str:
    return "" if value is None else measuring.fine_length_number(value, units or Metric())


@register.filter
def fine_mass_number(value: Number | None) -> str:
    return "" if value is None else measuring.fine_mass_number(value)


@register.filter
def tenth(value: Number | None) -> str:
    """A figure with one decimal, without its unit."""
    return "" if value is None else measuring.tenth_text(value)


@register.filter
def on_dry_basis(value: float | None) -> Any:
    """Water of the wet mass as water of the dry mass, both in per cent."""
    return None if value is None else dry_basis_pct(value)


@register.filter
def plus_minus(deviation: float | None) -> str:
    return "" if deviation is None else f"±{measuring.tenth_text(deviation)}"


@register.filter
def ends(spread: Spread | None) -> str:
    """From the least to the most, nothing for one bar."""
    if spread is None or spread.deviation is None:
        return ""
    return f"{measuring.tenth_text(spread.least)}–{measuring.tenth_text(spread.most)}"
