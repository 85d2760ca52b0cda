from typing import Self

from django.db import models
from django.db.models.functions import Lower
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from studio.people.models import Studio, User
from studio.people.models.base import Identified


class Firing(models.TextChoices):
    """What a program fires."""

    BISQUE = "bisque", _("bisque")
    GLAZE = "glaze", _("glaze")


class ProgramQuerySet(models.QuerySet["Program"]):
    def visible_to(self, person: User) -> Self:
        if not person.is_staff:
            return self.none()
        return self.filter(studio=person.studio_id)

    def in_use(self) -> Self:
        return self.filter(retired=False)


class Program(Identified):
    """Segments of rate (°C/h), target (°C) and hold (min), entered by hand at the kiln's own
    controller. Once a slot uses it, it stays as it is; a change makes a new one and retires it.
    """

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="programs")
    name = models.CharField(_("name"), max_length=80)
    firing = models.CharField(_("for"), max_length=6, choices=Firing.choices)
    start_c = models.FloatField(_("starts from, °C"), default=20.0)
    # [{"rate_c_per_h": 60, "target_c": 85, "hold_min": 240}, …]
    segments = models.JSONField()
    note = models.CharField(_("what to see to"), max_length=400, blank=True)
    retired = models.BooleanField(_("no longer used"), default=False)

    objects = ProgramQuerySet.as_manager()

    class Meta:
        ordering = ("firing", "name")
        constraints = (
            models.UniqueConstraint(
                Lower("name"),
                "studio",
                condition=models.Q(retired=False),
                name="program_name_unique",
                violation_error_message=_("The studio has a program of this name already."),
            ),
        )

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("program", args=[self.pk])
