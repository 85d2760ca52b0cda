"""Safety talks: who heard one, and whether clay waits for it."""

from collections.abc import Collection
from datetime import date
from uuid import UUID

from django.db.models import Max

from studio.clay.models import SafetyTalk, TalkRule
from studio.people.models import Section, User


def talk_comes_first(studio: UUID | None) -> bool:
    """Whether the studio's pots get clay only after the talk of their student. One query."""
    return TalkRule.objects.filter(studio=studio, talk_first=True).exists()


def newest_talks(students: Collection[UUID]) -> dict[UUID, date]:
    """By student the day of the newest talk; who heard none isn't in it. One query."""
    talks = SafetyTalk.objects.filter(student__in=students)
    return dict(talks.order_by().values_list("student").annotate(newest=Max("on")))


def talks_of(section: Section) -> list[tuple[User, date | None]]:
    """Everybody now in the class by name, with the day of the newest talk. Two queries."""
    students = User.objects.filter(
        enrolments__section=section, enrolments__left_on__isnull=True
    ).order_by("given_name", "family_name", "username")
    newest = newest_talks([student.pk for student in students])
    return [(student, newest.get(student.pk)) for student in students]
