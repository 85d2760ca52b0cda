from typing import Self

from django.db import models
from django.db.models.functions import Lower
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from studio.people.models import Studio, User
from studio.people.models.base import Identified


class PlaceKind(models.TextChoices):
    SHELF = "shelf", _("shelf")
    CART = "cart", _("cart")
    DAMP = "damp", _("damp cupboard")
    DISPLAY = "display", _("display")


class PlaceQuerySet(models.QuerySet["Place"]):
    def visible_to(self, person: User) -> Self:
        """Everybody of the studio: students say where they put their pot."""
        if not person.role:
            return self.none()
        return self.filter(studio=person.studio_id)

    def in_use(self) -> Self:
        return self.filter(retired=False)


class Place(Identified):
    """Where pots stand. Its label carries a QR code that opens its page."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="places")
    name = models.CharField(_("name"), max_length=60)
    kind = models.CharField(
        _("kind"), max_length=7, choices=PlaceKind.choices, default=PlaceKind.SHELF
    )
    retired = models.BooleanField(_("no longer used"), default=False)

    objects = PlaceQuerySet.as_manager()

    class Meta:
        ordering = ("name",)
        constraints = (
            models.UniqueConstraint(
                Lower("name"),
                "studio",
                name="place_name_unique",
                violation_error_message=_("The studio has a place of this name already."),
            ),
        )

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("place", args=[self.pk])
