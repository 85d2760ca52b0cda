"""Tags that draw a pot under way: laid over its plan, and how its checks went on."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from django import template
from django.utils.formats import date_format
from django.utils.translation import pgettext

from planning.pictures.building import BuildingPicture
from planning.pictures.checked import NOTHING_MM, Checked, checked_picture
from planning.pictures.clock import SeamClock
from planning.pictures.drift import DriftPicture
from studio.units.scales import Metric, Units
from studio.web.shown import number_text, seam_hour_text

register = template.Library()


@register.inclusion_tag("bench/_checked.html")
def laid_over_picture(
    checked: Checked, units: Units | None = None, stage: str = "wet"
) -> dict[str, Any]:
    """`{% laid_over_picture checked studio %}`: plan and pot laid over each other."""
    picture = checked_picture(checked)
    return {"p": picture, "units": units or Metric(), "stage": stage}


@register.inclusion_tag("bench/_clock.html")
def clock_picture(clock: SeamClock, hours: str = "") -> dict[str, Any]:
    """`{% clock_picture clock %}`: where the seams go, seen from above."""
    return {"c": clock, "hours": hours}


@register.inclusion_tag("bench/_drift.html")
def drift_plot(picture: DriftPicture, units: Units | None = None) -> dict[str, Any]:
    """`{% drift_plot picture studio %}`: how far each height was off, a line for each check."""
    return {"p": picture, "units": units or Metric()}


@register.inclusion_tag("bench/_building.html")
def building_drawing(
    picture: BuildingPicture, bench: Any, today: date, units: Units | None = None
) -> dict[str, Any]:
    """`{% building_drawing picture bench today studio %}`: how much of the plan stands."""
    return {"p": picture, "bench": bench, "today": today, "units": units or Metric()}


@register.filter
def seam_hours(seams: Sequence[float]) -> str:
    """Where the seams of a row lie, as hours of the seam clock: `4½`, `12, 6`."""
    return ", ".join(map(seam_hour_text, seams))


@register.filter
def day_short(on: date) -> str:
    """A date in the margin of a drawing or a table: `Fri 13`."""
    # Translators: weekday and day of the month in a margin, in Django's date format.
    return date_format(on, pgettext("day in a margin", "D j"))


@register.filter
def whole(value: float) -> str:
    """A figure without decimals."""
    return _places(value, 0)


@register.filter
def one_place(value: float | None) -> str:
    """A figure to one decimal, a dash where there is none."""
    return _places(value, 1)


@register.filter
def three_places(value: float | None) -> str:
    """A figure to three decimals, a dash where there is none."""
    return _places(value, 3)


def _places(value: float | None, places: int) -> str:
    return (
        "–" if value is None else number_text(Decimal(value).quantize(Decimal(1).scaleb(-places)))
    )


@register.filter
def ruler_shows(mm: float) -> bool:
    """Whether a ruler shows that something is off."""
    return abs(mm) >= NOTHING_MM


@register.filter
def size_of(mm: float) -> float:
    """Without its sign."""
    return abs(mm)
