from typing import Self

from django.db import models
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _

from studio.people.models import Studio, User
from studio.people.models.base import Identified


class GlazeQuerySet(models.QuerySet["Glaze"]):
    def visible_to(self, person: User) -> Self:
        """The glazes of the studio's shelf; students choose among them."""
        if not person.role:
            return self.none()
        return self.filter(studio=person.studio_id)

    def in_use(self) -> Self:
        return self.filter(retired=False)


class Glaze(Identified):
    """A glaze as its label says. Whether a fired pot is fit for food only a laboratory leach test
    of the studio's own ware can say; until one is recorded the pot's label says "not for food".
    """

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="glazes")
    name = models.CharField(_("name"), max_length=80)
    cone_from = models.CharField(_("from cone"), max_length=4)
    cone_to = models.CharField(_("to cone"), max_length=4)
    runs = models.BooleanField(_("runs"), default=False)
    food_statement = models.CharField(
        _("what the maker says about food"), max_length=200, blank=True
    )
    hazard_note = models.CharField(_("hazards, from the label"), max_length=400, blank=True)
    leach_test = models.CharField(
        _("laboratory leach test"),
        max_length=200,
        blank=True,
        help_text=_("Laboratory, method, date and result, for this studio's fired ware."),
    )
    retired = models.BooleanField(_("no longer used"), default=False)

    objects = GlazeQuerySet.as_manager()

    class Meta:
        ordering = ("name",)
        constraints = (
            models.UniqueConstraint(
                Lower("name"),
                "studio",
                name="glaze_name_unique",
                violation_error_message=_("The studio has a glaze of this name already."),
            ),
        )

    def __str__(self) -> str:
        return self.name
