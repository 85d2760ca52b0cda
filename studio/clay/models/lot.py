from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from studio.people.models import Studio, User
from studio.people.models.base import Identified
from studio.room.models import ClayBody

MOST_BAGS = 2000
"""So many come at once, or are ordered at once."""


class LotKind(models.TextChoices):
    BOUGHT = "bought", _("bought")
    RETURNED = "returned", _("returned, to be reclaimed")
    RECLAIMED = "reclaimed", _("reclaimed")


class BagPart(models.TextChoices):
    """Clay is cut from a bag with a wire, so it is handed out in parts of one."""

    QUARTER = "quarter", _("a quarter bag")
    HALF = "half", _("half a bag")
    WHOLE = "whole", _("a whole bag")

    @property
    def of_a_bag(self) -> float:
        return {"quarter": 0.25, "half": 0.5, "whole": 1.0}[self.value]


class LotQuerySet(models.QuerySet["Lot"]):
    def visible_to(self, person: User) -> Self:
        if not person.is_staff:
            return self.none()
        return self.filter(studio=person.studio_id)

    def to_issue(self) -> Self:
        """Clay that is fit to be handed out, and there; mixed clay too, which is for practice."""
        return self.filter(balance_g__gt=0).exclude(kind=LotKind.RETURNED)

    def for_pots(self) -> Self:
        """Clay that is fit to build pots with, and there."""
        return self.to_issue().filter(mixed=False)


class Lot(Identified):
    """Clay of one body that came at one time. `balance_g` is what is there now; it changes only
    together with an `Entry`, in one transaction, and is never below nothing.
    """

    studio = models.ForeignKey(Studio, on_delete=models.PROTECT, related_name="lots")
    body = models.ForeignKey(
        ClayBody, on_delete=models.PROTECT, related_name="lots", verbose_name=_("clay body")
    )
    kind = models.CharField(max_length=9, choices=LotKind.choices, default=LotKind.BOUGHT)
    # Of several bodies: nobody knows how it shrinks or where it melts. `body` is then the one of
    # them that fires lowest. For practice only; it never becomes clay for pots.
    mixed = models.BooleanField(default=False)
    label = models.CharField(_("delivery note or mark"), max_length=80, blank=True)
    # What one bag weighs; None where the clay is not in bags.
    bag_g = models.PositiveIntegerField(
        _("a bag weighs"),
        null=True,
        blank=True,
        validators=[MinValueValidator(100), MaxValueValidator(100_000)],
    )
    came_on = models.DateField(_("came on"))
    balance_g = models.BigIntegerField(default=0)

    objects = LotQuerySet.as_manager()

    class Meta:
        ordering = ("came_on", "pk")
        constraints = (
            models.CheckConstraint(
                condition=models.Q(balance_g__gte=0), name="lot_balance_never_below_nothing"
            ),
        )

    def __str__(self) -> str:
        return f"{self.body} {self.label}".strip()

    def get_absolute_url(self) -> str:
        return reverse("lot", args=[self.pk])

    def part_g(self, part: BagPart) -> int | None:
        """What this part of one of its bags weighs; None where it isn't in bags."""
        return None if self.bag_g is None else round(self.bag_g * part.of_a_bag)
