from typing import Self

from django.db import models
from django.urls import reverse

from studio.people.models import Role, Section, Studio, User
from studio.people.models.base import Identified

from .assignment import Assignment


class PieceQuerySet(models.QuerySet["Piece"]):
    def visible_to(self, person: User) -> Self:
        """A student's own; for staff those of the classes that they see."""
        if person.role == Role.STUDENT:
            return self.filter(student=person, studio=person.studio_id)
        if not person.is_staff:
            return self.none()
        if person.role == Role.TEACHER:
            sections = Section.objects.visible_to(person).order_by()
            return self.filter(assignment__section__in=sections)
        return self.filter(studio=person.studio_id)

    def taught_by(self, person: User) -> Self:
        return self.visible_to(person) if person.teaches else self.none()

    def drawn_by(self, person: User) -> Self:
        """The student's own, which they may change."""
        return self.visible_to(person) if person.is_student else self.none()

    def of_enrolled(self) -> Self:
        """Without the pieces of students who left the class."""
        return self.filter(
            assignment__section__enrolments__student=models.F("student"),
            assignment__section__enrolments__left_on__isnull=True,
        )


class Piece(Identified):
    """One student's work in one assignment, from the first sketch on.

    `code` is scratched into the underside of the slab; it is unique in the studio and no two
    differ in one character only (see `planning.codes`).
    """

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="pieces")
    assignment = models.ForeignKey(Assignment, on_delete=models.CASCADE, related_name="pieces")
    student = models.ForeignKey(User, on_delete=models.PROTECT, related_name="pieces")
    code = models.CharField(max_length=8)
    # False once the class is over: the code may be drawn again.
    code_live = models.BooleanField(default=True)
    created_at = models.DateTimeField()

    objects = PieceQuerySet.as_manager()

    class Meta:
        ordering = ("student__family_name", "student__given_name", "code")
        constraints = (
            models.UniqueConstraint("assignment", "student", name="piece_once_a_student"),
            models.UniqueConstraint(
                "studio",
                "code",
                condition=models.Q(code_live=True),
                name="piece_live_code_unique_in_studio",
            ),
        )

    def __str__(self) -> str:
        return self.code

    def get_absolute_url(self) -> str:
        return reverse("piece", args=[self.pk])
