from decimal import Decimal
from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _
from django_stubs_ext import StrOrPromise

from studio.people.models import User
from studio.room.models import ClayBody
from studio.room.models.money import currency


def price(name: StrOrPromise) -> "models.DecimalField[Decimal | float | None, Decimal | None]":
    return models.DecimalField(
        name,
        max_digits=8,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(100_000)],
    )


class PackQuerySet(models.QuerySet["Pack"]):
    def visible_to(self, person: User) -> Self:
        if not person.is_staff:
            return self.none()
        return self.filter(body__studio=person.studio_id)


class Pack(models.Model):
    """How one clay body is sold to the studio: in bags, and in boxes of several bags."""

    body = models.OneToOneField(ClayBody, on_delete=models.CASCADE, related_name="pack")
    bag_g = models.PositiveIntegerField(
        _("one bag weighs"), validators=[MinValueValidator(100), MaxValueValidator(100_000)]
    )
    bags_in_box = models.PositiveSmallIntegerField(
        _("bags in a box"),
        default=1,
        validators=[MinValueValidator(1), MaxValueValidator(200)],
        help_text=_("A box mostly holds two bags. 1 where there are no boxes."),
    )
    sold_singly = models.BooleanField(_("bags are sold one by one too"), default=True)
    bag_price = price(_("price of a bag"))
    box_price = price(_("price of a box"))
    currency = currency()
    days_to_come = models.PositiveSmallIntegerField(
        _("days from order to delivery"), default=14, validators=[MaxValueValidator(365)]
    )

    objects = PackQuerySet.as_manager()

    class Meta:
        ordering = ("body__name", "pk")

    def __str__(self) -> str:
        return f"{self.body} {self.bag_g} g"
