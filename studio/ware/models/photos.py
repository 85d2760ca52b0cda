from django.db import models
from django.utils.translation import gettext_lazy as _

from studio.people.models.base import Identified
from studio.uploads.models import StoredImage

from .pot import Pot


class Occasion(models.TextChoices):
    """When a photo of a pot is asked for; a pot that breaks is marked from its last ones."""

    BUILDING = "building", _("while building")
    GREENWARE = "greenware", _("when building ended")
    BEFORE_BISQUE = "before_bisque", _("before the bisque firing")
    BEFORE_GLAZE = "before_glaze", _("before the glaze firing")
    FINISHED = "finished", _("finished")


class PotPhoto(Identified):
    """A photo of a pot; the image says who sent it and whether it could be read."""

    pot = models.ForeignKey(Pot, on_delete=models.CASCADE, related_name="photos")
    image = models.OneToOneField(StoredImage, on_delete=models.PROTECT, related_name="pot_photo")
    occasion = models.CharField(_("when"), max_length=13, choices=Occasion.choices)
    at = models.DateTimeField()

    class Meta:
        ordering = ("at", "pk")

    def __str__(self) -> str:
        return f"{self.pot} {self.occasion}"
