from typing import Any, ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from studio.people.models import Studio, User
from studio.people.models.base import Identified

from .refusals import sentence


class StoredImage(Identified):
    """A picture that somebody sent, as it was written anew: upright, sRGB, without metadata.

    Whatever owns it serves it, after its own permission check; the files have no address.
    """

    class State(models.TextChoices):
        RECEIVED = "received", _("being looked at")
        READY = "ready", _("ready")
        REFUSED = "refused", _("not taken")

    studio = models.ForeignKey(Studio, on_delete=models.PROTECT, related_name="images")
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="images")
    created_at = models.DateTimeField()
    state = models.CharField(max_length=8, choices=State.choices, default=State.RECEIVED)
    refusal_code = models.CharField(max_length=20, blank=True)
    refusal_values: models.JSONField[dict[str, Any], dict[str, Any]] = models.JSONField(
        default=dict
    )

    original_name = models.CharField(_("name of the file"), max_length=120)
    original_bytes = models.PositiveIntegerField()
    original_sha256 = models.CharField(max_length=64)
    # Names in the private storage. `stem` is random; an attempt's files are named after it, so
    # that a broken-off attempt leaves nothing that can't be found again.
    quarantine_file = models.CharField(max_length=100)
    stem = models.CharField(max_length=64, unique=True)
    full_file = models.CharField(max_length=120, blank=True)
    small_file = models.CharField(max_length=120, blank=True)

    width = models.PositiveIntegerField(null=True)
    height = models.PositiveIntegerField(null=True)
    focal_35mm = models.FloatField(null=True)
    # A kind of job that is asked for in the moment in which it becomes ready.
    then = models.CharField(max_length=40, blank=True)

    objects: ClassVar[models.Manager["StoredImage"]] = models.Manager()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=models.Q(state="ready", width__gte=1, height__gte=1)
                & ~models.Q(full_file="")
                & ~models.Q(small_file="")
                | models.Q(state__in=("received", "refused"), full_file="", small_file=""),
                name="image_ready_has_its_files",
            ),
            models.CheckConstraint(
                condition=models.Q(state="refused") ^ models.Q(refusal_code=""),
                name="image_refused_with_a_reason",
            ),
        )

    def __str__(self) -> str:
        return self.original_name

    @property
    def is_ready(self) -> bool:
        return self.state == self.State.READY

    @property
    def refusal(self) -> str:
        """Why it was not taken and what to do, in the reader's language; empty if it was."""
        return sentence(self.refusal_code, self.refusal_values) if self.refusal_code else ""
