from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _
from django_stubs_ext import StrOrPromise

from studio.people.models import User
from studio.people.models.base import Identified

from .body import ClayBody

LEAST_MM, MOST_MM = 20, 500
LEAST_G, MOST_G = 1, 5000


def _between_marks(name: StrOrPromise) -> "models.FloatField[float | None, float | None]":
    limits = [MinValueValidator(LEAST_MM), MaxValueValidator(MOST_MM)]
    return models.FloatField(name, null=True, blank=True, validators=limits)


def _weighed(name: StrOrPromise) -> "models.FloatField[float | None, float | None]":
    limits = [MinValueValidator(LEAST_G), MaxValueValidator(MOST_G)]
    return models.FloatField(name, null=True, blank=True, validators=limits)


class ShrinkageBarQuerySet(models.QuerySet["ShrinkageBar"]):
    def visible_to(self, person: User) -> Self:
        """As the clay body: for the studio's staff."""
        if not person.is_staff:
            return self.none()
        return self.filter(body__studio=person.studio_id)

    def to_measure(self) -> Self:
        """Bars that count and are not fired yet."""
        return self.filter(left_out="", fired_mm__isnull=True)


class ShrinkageBar(Identified):
    """A test bar of a clay body: the distance of its two marks in mm, wet, bone dry and fired, and
    its mass in g in the same states where it was weighed.
    """

    body = models.ForeignKey(ClayBody, on_delete=models.CASCADE, related_name="bars")
    mark = models.CharField(_("scratched into it"), max_length=12)
    made_on = models.DateField(_("made on"))
    wet_mm = models.FloatField(
        _("wet"), validators=[MinValueValidator(LEAST_MM), MaxValueValidator(MOST_MM)]
    )
    dry_mm = _between_marks(_("dry"))
    fired_mm = _between_marks(_("fired"))
    cone = models.CharField(_("fired to cone"), max_length=4, blank=True)
    wet_g = _weighed(_("mass wet"))
    dry_g = _weighed(_("mass dry"))
    fired_g = _weighed(_("mass fired"))
    left_out = models.CharField(
        _("left out because"),
        max_length=120,
        blank=True,
        help_text=_("Such as: it bent, it cracked, another batch. It stays in the log."),
    )
    made_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    objects = ShrinkageBarQuerySet.as_manager()

    class Meta:
        ordering = ("made_on", "mark", "pk")
        verbose_name = _("test bar")
        constraints = (models.UniqueConstraint("body", "mark", name="shrinkage_bar_mark_once"),)

    def __str__(self) -> str:
        return f"{self.body} {self.mark}"
