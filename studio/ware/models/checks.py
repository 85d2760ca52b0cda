from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _
from django_stubs_ext import StrOrPromise

from studio.people.models import User
from studio.people.models.base import Identified
from studio.room.models import Glaze

from .pot import Pot


def measured_mm(name: StrOrPromise, most: int) -> "models.FloatField[float, float]":
    return models.FloatField(name, validators=[MinValueValidator(1), MaxValueValidator(most)])


class CheckQuerySet(models.QuerySet["GreenwareCheck"]):
    def standing(self) -> Self:
        return self.filter(withdrawn_at__isnull=True)


class GreenwareCheck(Identified):
    """The sign-off when building ends. Drying starts here, and the kiln is packed by these sizes,
    which include spouts, handles and other added parts. All in mm, as measured on the pot.

    It stands until it is withdrawn, for instance because building went on.
    """

    pot = models.ForeignKey(Pot, on_delete=models.CASCADE, related_name="greenware_checks")
    thickest_mm = measured_mm(_("thickest place"), 100)
    height_mm = measured_mm(_("height"), 2000)
    front_mm = measured_mm(_("width at the widest"), 2000)
    depth_mm = measured_mm(_("depth at the deepest"), 2000)
    code_legible = models.BooleanField(_("the code can be read"))
    cracks = models.CharField(_("cracks, and what was done"), max_length=400, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    objects = CheckQuerySet.as_manager()

    class Meta:
        ordering = ("at", "pk")
        constraints = (
            models.UniqueConstraint(
                "pot",
                condition=models.Q(withdrawn_at__isnull=True),
                name="greenware_check_one_stands",
            ),
            models.CheckConstraint(
                condition=models.Q(code_legible=True), name="greenware_check_code_is_legible"
            ),
        )

    def __str__(self) -> str:
        return f"{self.pot} greenware check"


class DrynessCheck(Identified):
    """By hand and by eye before a bisque: no chill on the cheek, no dark patches. The newest
    counts, and only if it came after the greenware check.
    """

    pot = models.ForeignKey(Pot, on_delete=models.CASCADE, related_name="dryness_checks")
    air_dry = models.BooleanField(_("air dry"))
    note = models.CharField(_("note"), max_length=200, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ("at", "pk")

    def __str__(self) -> str:
        return f"{self.pot} dryness check"


class GlazeCheck(Identified):
    """Before a glaze firing, by staff: what is on the pot, and that it won't stick or run off."""

    pot = models.ForeignKey(Pot, on_delete=models.CASCADE, related_name="glaze_checks")
    glazes = models.ManyToManyField(Glaze, related_name="+", verbose_name=_("glazes"))
    foot_clean = models.BooleanField(_("foot is clean"))
    thickness_fits = models.BooleanField(_("glaze is neither too thick nor too thin"))
    note = models.CharField(_("note"), max_length=200, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ("at", "pk")

    def __str__(self) -> str:
        return f"{self.pot} glaze check"

    @property
    def passed(self) -> bool:
        return self.foot_clean and self.thickness_fits
