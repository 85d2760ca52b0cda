from typing import Self

from django.db import models

from studio.people.models import Section, Studio, User
from studio.people.models.base import Identified


class CalendarAddressQuerySet(models.QuerySet["CalendarAddress"]):
    def visible_to(self, person: User) -> Self:
        """Staff: the studio's, and those of the classes that they teach."""
        if not person.is_staff:
            return self.none()
        taught = models.Q(section__in=Section.objects.taught_by(person))
        return self.filter(taught | models.Q(section=None), studio=person.studio_id)


class CalendarAddress(Identified):
    """The secret address at which a studio's kiln calendar is read, or one class's part of it.
    Kept as a hash: whoever has the address reads codes and times without signing in.
    """

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="kiln_calendars")
    section = models.ForeignKey(
        Section, on_delete=models.CASCADE, null=True, blank=True, related_name="kiln_calendars"
    )
    digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    objects = CalendarAddressQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "calendar addresses"
        constraints = (
            models.UniqueConstraint(
                "studio",
                condition=models.Q(section=None),
                name="calendar_address_one_a_studio",
            ),
            models.UniqueConstraint("section", name="calendar_address_one_a_class"),
        )

    def __str__(self) -> str:
        return f"kiln calendar of {self.section or self.studio}"
