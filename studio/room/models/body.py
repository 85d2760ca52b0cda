from decimal import Decimal
from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _
from django_stubs_ext import StrOrPromise

from studio.people.models import Studio, User
from studio.people.models.base import Identified


def percent(name: StrOrPromise, most: int) -> "models.DecimalField[Decimal | float, Decimal]":
    return models.DecimalField(
        name,
        max_digits=5,
        decimal_places=2,
        validators=[MinValueValidator(0), MaxValueValidator(most)],
    )


class ClayBodyQuerySet(models.QuerySet["ClayBody"]):
    def visible_to(self, person: User) -> Self:
        """Staff see the studio's clay; a student meets it on their own plan only."""
        if not person.is_staff:
            return self.none()
        return self.filter(studio=person.studio_id)

    def in_use(self) -> Self:
        return self.filter(retired=False)


class ClayBody(Identified):
    """A clay body as its data sheet or the studio's own test bars say. Shrinkages are linear."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="clay_bodies")
    name = models.CharField(_("name"), max_length=80)
    cone = models.CharField(_("fires to cone"), max_length=4, blank=True)
    wet_density_g_per_cm3 = models.DecimalField(
        _("wet density, g/cm³"),
        max_digits=4,
        decimal_places=2,
        validators=[MinValueValidator(1), MaxValueValidator(3)],
        help_text=_("Plastic clay without air is mostly 1.9 to 2.0."),
    )
    water_pct_wet_basis = percent(_("water, % of the wet mass"), 40)
    drying_shrinkage_pct = percent(_("drying shrinkage, %"), 20)
    total_shrinkage_pct = percent(_("total shrinkage, wet to fired, %"), 30)
    loss_on_ignition_pct = percent(_("loss on ignition, % of the dry mass"), 30)
    source = models.CharField(
        _("where the figures come from"),
        max_length=200,
        help_text=_("The maker's data sheet or your own test bars, and when."),
    )
    retired = models.BooleanField(_("no longer used"), default=False)

    objects = ClayBodyQuerySet.as_manager()

    class Meta:
        ordering = ("name",)
        verbose_name = _("clay body")
        constraints = (
            models.UniqueConstraint(
                "studio",
                "name",
                name="clay_body_name_unique",
                violation_error_message=_("The studio has a clay body of this name already."),
            ),
            models.CheckConstraint(
                condition=models.Q(total_shrinkage_pct__gte=models.F("drying_shrinkage_pct")),
                name="clay_body_total_shrinkage_includes_drying",
                violation_error_message=_(
                    "Total shrinkage counts from wet to fired, so it is at least the drying "
                    "shrinkage."
                ),
            ),
        )

    def __str__(self) -> str:
        return self.name
