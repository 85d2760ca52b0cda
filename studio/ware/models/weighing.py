from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from studio.people.models import User
from studio.people.models.base import Identified

from .pot import Pot

LEAST_G, MOST_G = 20, 60_000
"""Between a thumb pot and what two people carry."""

LEAST_STEP_G, MOST_STEP_G = 0.01, 1000


class WeighedAs(models.TextChoices):
    BUILT = "built", _("finished, still wet")
    DRYING = "drying", _("drying, unwrapped")


class Weighing(Identified):
    """A pot on the scale, in grams, without its board. Never changed: weighed again, the newest
    counts.
    """

    pot = models.ForeignKey(Pot, on_delete=models.CASCADE, related_name="weighings")
    weighed_as = models.CharField(max_length=6, choices=WeighedAs.choices)
    grams = models.FloatField(
        _("weight"), validators=[MinValueValidator(LEAST_G), MaxValueValidator(MOST_G)]
    )
    # The smallest step that the scale shows; asked where a small loss decides.
    step_g = models.FloatField(
        _("the scale shows steps of"),
        null=True,
        blank=True,
        validators=[MinValueValidator(LEAST_STEP_G), MaxValueValidator(MOST_STEP_G)],
    )
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ("at", "pk")
        constraints = (
            models.CheckConstraint(
                condition=models.Q(weighed_as="built") | models.Q(step_g__isnull=False),
                name="weighing_of_a_drying_pot_knows_its_scale",
            ),
        )

    def __str__(self) -> str:
        return f"{self.pot} {self.grams:.0f} g"
