from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from studio.people.models import Studio, User
from studio.people.models.base import Identified
from studio.room.models import ClayBody
from studio.room.models.money import currency

from .lot import MOST_BAGS, Lot
from .pack import price


class OrderQuerySet(models.QuerySet["Order"]):
    def visible_to(self, person: User) -> Self:
        if not person.is_staff:
            return self.none()
        return self.filter(studio=person.studio_id)

    def on_the_way(self) -> Self:
        return self.filter(lot__isnull=True, called_off_at__isnull=True)


class Order(Identified):
    """Clay of one body that was ordered. When it comes it becomes a lot; it may be called off."""

    studio = models.ForeignKey(Studio, on_delete=models.PROTECT, related_name="clay_orders")
    body = models.ForeignKey(
        ClayBody, on_delete=models.PROTECT, related_name="orders", verbose_name=_("clay body")
    )
    bags = models.PositiveIntegerField(
        _("bags in all"), validators=[MinValueValidator(1), MaxValueValidator(MOST_BAGS)]
    )
    bag_g = models.PositiveIntegerField(
        _("one bag weighs"), validators=[MinValueValidator(100), MaxValueValidator(100_000)]
    )
    cost = price(_("cost"))
    currency = currency()
    note = models.CharField(_("order number or note"), max_length=80, blank=True)
    ordered_on = models.DateField(_("ordered on"))
    expected_on = models.DateField(_("expected on"))
    lot = models.OneToOneField(
        Lot, on_delete=models.PROTECT, null=True, blank=True, related_name="order"
    )
    called_off_at = models.DateTimeField(null=True, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    objects = OrderQuerySet.as_manager()

    class Meta:
        ordering = ("expected_on", "pk")
        constraints = (
            models.CheckConstraint(
                condition=models.Q(lot__isnull=True) | models.Q(called_off_at__isnull=True),
                name="clay_order_came_or_was_called_off",
            ),
        )

    def __str__(self) -> str:
        return f"{self.body} {self.bags}"

    @property
    def grams(self) -> int:
        return self.bags * self.bag_g
