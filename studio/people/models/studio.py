import zoneinfo
from functools import cache

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext_lazy as _

from .base import Identified


class LengthUnit(models.TextChoices):
    MM = "mm", _("millimetres")
    CM = "cm", _("centimetres")
    IN = "in", _("inches")


class MassUnit(models.TextChoices):
    G = "g", _("grams")
    KG = "kg", _("kilograms")
    LB = "lb", _("pounds")


class PaperSize(models.TextChoices):
    A4 = "a4", _("A4")
    LETTER = "letter", _("Letter")


@cache
def time_zones() -> frozenset[str]:
    """Names of the IANA time zone database; finding them walks through its files."""
    return frozenset(zoneinfo.available_timezones())


def validate_time_zone(name: str) -> None:
    if name not in time_zones():
        raise ValidationError(
            _("“%(name)s” is not a time zone. Choose one such as Europe/Amsterdam."),
            params={"name": name},
        )


class Studio(Identified):
    """One teaching studio: the tenant. Nothing crosses it."""

    name = models.CharField(_("name"), max_length=120)
    slug = models.SlugField(
        _("short name"),
        max_length=40,
        unique=True,
        help_text=_("Stands in the sign-in address and on the sign-in cards."),
    )
    time_zone = models.CharField(
        _("time zone"), max_length=64, default="UTC", validators=[validate_time_zone]
    )
    length_unit = models.CharField(
        _("lengths in"), max_length=2, choices=LengthUnit.choices, default=LengthUnit.CM
    )
    mass_unit = models.CharField(
        _("clay in"), max_length=2, choices=MassUnit.choices, default=MassUnit.KG
    )
    paper = models.CharField(
        _("paper"), max_length=8, choices=PaperSize.choices, default=PaperSize.A4
    )
    retention_years = models.PositiveSmallIntegerField(_("years that work is kept"), default=5)
    created_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return self.name

    @property
    def zone(self) -> zoneinfo.ZoneInfo:
        return zoneinfo.ZoneInfo(self.time_zone)
