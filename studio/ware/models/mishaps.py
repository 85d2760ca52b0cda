from django.db import models
from django.utils.translation import gettext_lazy as _

from studio.people.models import User
from studio.people.models.base import Identified

from .pot import Lost, Pot


class Cause(models.TextChoices):
    """What a flaw or a loss came from. Staff set it; it is unknown until then."""

    UNKNOWN = "unknown", _("unknown")
    MAKING = "making", _("making")
    DRYING = "drying", _("drying")
    KILN = "kiln", _("kiln")
    ACCIDENT = "accident", _("accident")


class Flaw(Identified):
    """A crack or the like that was mended; the pot goes on."""

    pot = models.ForeignKey(Pot, on_delete=models.CASCADE, related_name="flaws")
    what = models.CharField(_("what"), max_length=200)
    mended = models.CharField(_("how it was mended"), max_length=200, blank=True)
    cause = models.CharField(_("cause"), max_length=8, choices=Cause.choices, default=Cause.UNKNOWN)
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ("at", "pk")

    def __str__(self) -> str:
        return self.what


class Loss(Identified):
    """A pot that broke or went missing. `found_at`: it turned up again, or it was a mistake."""

    pot = models.ForeignKey(Pot, on_delete=models.CASCADE, related_name="losses")
    kind = models.CharField(max_length=7, choices=Lost.choices)
    cause = models.CharField(_("cause"), max_length=8, choices=Cause.choices, default=Cause.UNKNOWN)
    note = models.CharField(_("what happened"), max_length=400, blank=True)
    stage = models.CharField(max_length=12)  # the stage it had come to
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    found_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("at", "pk")
        verbose_name_plural = "losses"
        constraints = (
            models.UniqueConstraint(
                "pot", condition=models.Q(found_at__isnull=True), name="loss_one_at_a_time"
            ),
        )

    def __str__(self) -> str:
        return f"{self.pot} {self.kind}"
