from typing import Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from studio.people.models import Section, Studio, User


class TalkRule(models.Model):
    """Whether clay goes only to students whose safety talk is recorded; off where no row is."""

    studio = models.OneToOneField(Studio, on_delete=models.CASCADE, related_name="talk_rule")
    talk_first = models.BooleanField(_("no clay before the safety talk"), default=False)

    def __str__(self) -> str:
        return f"{self.studio} {self.talk_first}"


class SafetyTalkQuerySet(models.QuerySet["SafetyTalk"]):
    def visible_to(self, person: User) -> Self:
        """Staff: those of students now in the classes that they see."""
        if not person.is_staff:
            return self.none()
        sections = Section.objects.visible_to(person).order_by()
        here = User.objects.filter(
            enrolments__section__in=sections, enrolments__left_on__isnull=True
        )
        return self.filter(student__in=here.order_by().values("pk"))


class SafetyTalk(models.Model):
    """A student heard the safety talk: dust, tools, lifting, the kiln room. Once a school year or
    as the school's own rules say; the newest counts.
    """

    student = models.ForeignKey(User, on_delete=models.CASCADE, related_name="safety_talks")
    on = models.DateField(_("on"))
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    objects = SafetyTalkQuerySet.as_manager()

    class Meta:
        ordering = ("on", "pk")
        constraints = (models.UniqueConstraint("student", "on", name="safety_talk_once_a_day"),)

    def __str__(self) -> str:
        return f"{self.student} {self.on:%Y-%m-%d}"
