from typing import Self

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from studio.people.models import User
from studio.people.models.base import Identified
from studio.ware.models import Pot

from .checks import BuildCheck


class CarryOnState(models.TextChoices):
    ASKED = "asked", _("asked")
    AGREED = "agreed", _("agreed")
    DECLINED = "declined", _("not agreed")
    TAKEN_BACK = "taken_back", _("taken back")


class CarryOnQuerySet(models.QuerySet["CarryOn"]):
    def visible_to(self, person: User) -> Self:
        return self.filter(pot__in=Pot.objects.visible_to(person).order_by())

    def asked(self) -> Self:
        return self.filter(state=CarryOnState.ASKED)

    def agreed(self) -> Self:
        """In the order in which they came to hold."""
        return self.filter(state=CarryOnState.AGREED).order_by("decided_at", "pk")


class CarryOn(Identified):
    """A student asks to build on from the pot as it stands, by a new row list; the teacher agrees
    or not. The newest that was agreed holds from the row after `after_row` on.

    Immutable but for the answer: `standing` is the open edge as measured
    (`planning.rows.carrying_on.Standing`), `figures` the rows that came of it, under the names of
    the compute API, with the version of the computation.
    """

    pot = models.ForeignKey(Pot, on_delete=models.CASCADE, related_name="carry_ons")
    check_made = models.ForeignKey(BuildCheck, on_delete=models.PROTECT, related_name="carry_ons")
    after_row = models.PositiveSmallIntegerField()
    standing = models.JSONField()
    figures = models.JSONField()
    computation = models.CharField(max_length=40)
    state = models.CharField(
        max_length=10, choices=CarryOnState.choices, default=CarryOnState.ASKED
    )
    asked_at = models.DateTimeField()
    asked_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    decided_at = models.DateTimeField(null=True, blank=True)
    decided_by = models.ForeignKey(
        User, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    note = models.CharField(_("note to the student"), max_length=1000, blank=True)

    objects = CarryOnQuerySet.as_manager()

    class Meta:
        ordering = ("asked_at", "pk")
        constraints = (
            models.UniqueConstraint(
                "pot",
                condition=models.Q(state=CarryOnState.ASKED),
                name="carry_on_asked_once_at_a_time",
            ),
        )

    def __str__(self) -> str:
        return f"{self.pot} carries on after row {self.after_row}"

    def get_absolute_url(self) -> str:
        return reverse("carry_on", args=[self.pk])
