from django.db import models
from django.utils.translation import gettext_lazy as _

from studio.kilns.cones import DEFAULT_TYPE
from studio.people.models import User
from studio.people.models.base import Identified

from .slot import Slot


class ConeKind(models.TextChoices):
    """Cones that stand in a kiln to be seen; the ones of a shut-off device are none."""

    SELF_SUPPORTING = DEFAULT_TYPE, _("self-supporting")
    SELF_SUPPORTING_IRON_FREE = "self_supporting_iron_free", _("self-supporting, iron-free")
    LARGE = "large_regular", _("large")
    LARGE_IRON_FREE = "large_iron_free", _("large, iron-free")


class WitnessReading(Identified):
    """How one witness cone stood after a firing: `bent` from 0, upright, to 1, its tip level with
    its base. One figure for a cone at a place; another one takes its place.
    """

    slot = models.ForeignKey(Slot, on_delete=models.CASCADE, related_name="witness_readings")
    cone = models.CharField(_("cone"), max_length=4)
    kind = models.CharField(
        _("kind of cone"), max_length=26, choices=ConeKind.choices, default=ConeKind.SELF_SUPPORTING
    )
    place = models.CharField(_("where it stood"), max_length=60, blank=True)
    bent = models.FloatField(_("how far it is bent"))
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ("place", "at", "pk")
        constraints = (
            models.UniqueConstraint(
                "slot", "cone", "kind", "place", name="witness_reading_once_a_place"
            ),
            models.CheckConstraint(
                condition=models.Q(bent__gte=0) & models.Q(bent__lte=1),
                name="witness_reading_between_upright_and_down",
            ),
        )

    @property
    def bent_pct(self) -> float:
        return 100 * self.bent

    def __str__(self) -> str:
        return f"cone {self.cone} in {self.slot}"
