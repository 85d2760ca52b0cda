from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from studio.people.models import User
from studio.people.models.base import Identified
from studio.ware.models import Pot


class RowLaidQuerySet(models.QuerySet["RowLaid"]):
    def standing(self) -> Self:
        return self.filter(undone_at__isnull=True)


class RowLaid(models.Model):
    """A row that stands on the pot, as somebody said; taken back it stays with who and when."""

    pot = models.ForeignKey(Pot, on_delete=models.CASCADE, related_name="rows_laid")
    row = models.PositiveSmallIntegerField()
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    undone_at = models.DateTimeField(null=True, blank=True)
    undone_by = models.ForeignKey(
        User, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    objects = RowLaidQuerySet.as_manager()

    class Meta:
        ordering = ("row", "at")
        verbose_name_plural = "rows laid"
        constraints = (
            models.UniqueConstraint(
                "pot",
                "row",
                condition=models.Q(undone_at__isnull=True),
                name="row_stands_once_on_a_pot",
            ),
            models.CheckConstraint(condition=models.Q(row__gte=1), name="rows_count_from_one"),
        )

    def __str__(self) -> str:
        return f"{self.pot} row {self.row}"


class WallMeasure(Identified):
    """The height that the first rows reached, and the wall that it means. The newest counts."""

    pot = models.ForeignKey(Pot, on_delete=models.CASCADE, related_name="wall_measures")
    after_row = models.PositiveSmallIntegerField()
    height_mm = models.FloatField(
        _("height of the wall now"), validators=[MinValueValidator(1), MaxValueValidator(2000)]
    )
    wall_mm = models.FloatField()
    # A code of `planning.rows.sentences` and its values.
    said = models.JSONField()
    computation = models.CharField(max_length=40)
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ("at", "pk")

    def __str__(self) -> str:
        return f"{self.pot} wall after row {self.after_row}"
