from typing import Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from planning.models import Piece
from studio.people.models import User
from studio.people.models.base import Identified

from .rubric import Level, RubricCriterion, RubricVersion


class MarkingQuerySet(models.QuerySet["Marking"]):
    def visible_to(self, person: User) -> Self:
        """Teachers of the piece's class and heads; a technician sees no marks, a student none that
        isn't released.
        """
        return self.filter(piece__in=Piece.objects.taught_by(person).order_by())


class Marking(Identified):
    """One marker's levels for one piece. `edition` counts its changes: who saves names the one
    that they saw, so that two people at once can't overwrite each other unseen.
    """

    piece = models.ForeignKey(Piece, on_delete=models.PROTECT, related_name="markings")
    marker = models.ForeignKey(User, on_delete=models.PROTECT, related_name="markings")
    version = models.ForeignKey(RubricVersion, on_delete=models.PROTECT, related_name="markings")
    edition = models.PositiveIntegerField(default=1)
    comment = models.TextField(_("comment to the student"), max_length=4000, blank=True)
    changed_at = models.DateTimeField()

    objects = MarkingQuerySet.as_manager()

    class Meta:
        ordering = ("changed_at",)
        constraints = (models.UniqueConstraint("piece", "marker", name="marking_once_a_marker"),)

    def __str__(self) -> str:
        return f"{self.piece} by {self.marker}"


class MarkedLevel(models.Model):
    """The level given to one criterion, and a note about it. An open criterion has no row, or one
    without a level that keeps a note; it is never a zero.
    """

    marking = models.ForeignKey(Marking, on_delete=models.CASCADE, related_name="levels")
    criterion = models.ForeignKey(RubricCriterion, on_delete=models.PROTECT, related_name="+")
    level = models.ForeignKey(Level, on_delete=models.PROTECT, null=True, related_name="+")
    note = models.CharField(_("note"), max_length=400, blank=True)

    class Meta:
        constraints = (
            models.UniqueConstraint("marking", "criterion", name="marked_level_once_a_criterion"),
        )

    def __str__(self) -> str:
        return str(self.level or self.criterion)


class ResultQuerySet(models.QuerySet["Result"]):
    def visible_to(self, person: User) -> Self:
        """A student reads their own, once released; teachers those of their classes."""
        if person.is_student:
            return self.filter(piece__in=Piece.objects.drawn_by(person).order_by())
        return self.filter(piece__in=Piece.objects.taught_by(person).order_by())

    def current(self) -> Self:
        return self.filter(replaced_at__isnull=True)


class Result(Identified):
    """What was released for a piece: levels with their words, and the evidence, frozen. A re-mark
    is a new result with a reason; the older ones stay.
    """

    piece = models.ForeignKey(Piece, on_delete=models.PROTECT, related_name="results")
    number = models.PositiveSmallIntegerField(default=1)
    marking = models.ForeignKey(Marking, on_delete=models.PROTECT, related_name="results")
    # [{"criterion": title, "weight": "2.00", "points": "3.00" | null, "most": "4.00",
    #   "descriptor": …, "note": …, "exempt": false}, …] as text decimals, in the rubric's order
    levels = models.JSONField()
    comment = models.TextField(blank=True)
    # None while a criterion is open; of `most`, both after weights, rounded as scoring says.
    score = models.DecimalField(max_digits=7, decimal_places=2, null=True)
    most = models.DecimalField(max_digits=7, decimal_places=2)
    evidence = models.JSONField()
    reason = models.CharField(_("why it was marked again"), max_length=400, blank=True)
    released_at = models.DateTimeField()
    released_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    replaced_at = models.DateTimeField(null=True, blank=True)

    objects = ResultQuerySet.as_manager()

    class Meta:
        ordering = ("number",)
        constraints = (
            models.UniqueConstraint("piece", "number", name="result_number_once_a_piece"),
            models.UniqueConstraint(
                "piece",
                condition=models.Q(replaced_at__isnull=True),
                name="result_one_holds_a_piece",
            ),
        )

    def __str__(self) -> str:
        return f"{self.piece} result {self.number}"
