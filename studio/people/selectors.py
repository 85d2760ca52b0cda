"""Questions about people, classes and dates. Numbers of queries don't depend on rows."""

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db.models import Count, Prefetch, Q, QuerySet

from .guessing import FREE_GUESSES
from .models import Absence, Enrolment, Meeting, Role, Section, SignInGuess, Studio, User
from .models.person import UserQuerySet

FOUND_AT_MOST = 20


def lessons_of(section: Section) -> list[date]:
    """The dates on which the class meets, in order."""
    return lessons_by_class([section.pk])[section.pk]


def lessons_by_class(sections: Collection[UUID]) -> dict[UUID, list[date]]:
    """The dates of several classes in one query; an empty list where there are none."""
    found: dict[UUID, list[date]] = {section: [] for section in sections}
    held = Meeting.objects.held().filter(section__in=sections).order_by("on")
    for section, on in held.values_list("section", "on"):
        found[section].append(on)
    return found


def absences_of(section: Section) -> dict[UUID, set[date]]:
    """The lessons that each student missed; students who missed none aren't in it."""
    return {student: days for (_, student), days in absences_by_class([section.pk]).items()}


def absences_by_class(sections: Collection[UUID]) -> dict[tuple[UUID, UUID], set[date]]:
    """The lessons missed, by class and student, in one query."""
    missed: dict[tuple[UUID, UUID], set[date]] = defaultdict(set)
    rows = Absence.objects.filter(meeting__section__in=sections, meeting__cancelled=False)
    for section, student, on in rows.values_list("meeting__section", "student", "meeting__on"):
        missed[section, student].add(on)
    return dict(missed)


def joined_by_class(sections: Collection[UUID]) -> dict[tuple[UUID, UUID], date]:
    """When each student now in these classes joined, by class and student, in one query."""
    rows = Enrolment.objects.current().filter(section__in=sections)
    return {
        (section, student): on
        for section, student, on in rows.values_list("section", "student", "joined_on")
    }


def meeting_on(section: Section, day: date) -> Meeting | None:
    return Meeting.objects.held().filter(section=section, on=day).first()


@dataclass(frozen=True)
class ClassMember:
    """A student now in a class: absent today, and how many lessons missed so far."""

    student: User
    joined_on: date
    absent: bool
    missed: int


def class_members(section: Section, today: date) -> list[ClassMember]:
    missed = absences_of(section)
    enrolments = (
        Enrolment.objects.current()
        .filter(section=section)
        .select_related("student")
        .order_by("student__given_name", "student__family_name", "student__username")
    )
    return [
        ClassMember(
            student=each.student,
            joined_on=each.joined_on,
            absent=today in missed.get(each.student_id, ()),
            missed=len(missed.get(each.student_id, ())),
        )
        for each in enrolments
    ]


def people_named(people: UserQuerySet, words: str) -> UserQuerySet:
    """Those of whom every word begins or is within a name, sign-in name or roster id."""
    for word in words.replace("\0", "").split()[:5]:
        people = people.filter(
            Q(given_name__icontains=word)
            | Q(family_name__icontains=word)
            | Q(username__icontains=word)
            | Q(sourced_id=word)
        )
    return people


def with_classes(people: QuerySet[User]) -> QuerySet[User]:
    """Each person with `current_enrolments`, their classes read along."""
    current = Enrolment.objects.current().select_related("section").order_by("section__title")
    return people.prefetch_related(
        Prefetch("enrolments", queryset=current, to_attr="current_enrolments")
    )


def students_to_enrol(section: Section, by: User, words: str) -> list[User]:
    """Students whom the person sees, by name, who aren't in the class; a screenful at most."""
    if not words.strip():
        return []
    inside = Enrolment.objects.current().filter(section=section).values("student")
    students = User.objects.visible_to(by).students().exclude(pk__in=inside)
    return list(people_named(students, words)[:FOUND_AT_MOST])


def classes_to_move_to(section: Section, by: User) -> list[Section]:
    others = Section.objects.taught_by(by).current().exclude(pk=section.pk)
    return list(others)


def teachers_of(studio: Studio) -> QuerySet[User]:
    """Who may teach a class of this studio."""
    return User.objects.filter(studio=studio, role__in=[Role.HEAD, Role.TEACHER], is_active=True)


def dates_of(section: Section) -> list[Meeting]:
    """All dates of a class, those that fall out too, each with `missed_by`."""
    meetings = Meeting.objects.filter(section=section)
    return list(meetings.annotate(missed_by=Count("absences")).order_by("on"))


def is_paused(person: User) -> bool:
    """Whether wrong passwords have made a pause for this name at some address."""
    return SignInGuess.objects.filter(name_key=str(person.pk), wrong__gte=FREE_GUESSES).exists()


def sign_in_state(person: User, at: datetime) -> str:
    """`own`, `first`, `ended` or `none`: what this person could sign in with now."""
    if not person.has_usable_password():
        return "none"
    if not person.must_change_password:
        return "own"
    ends_at = person.first_password_ends_at
    return "ended" if ends_at is not None and ends_at <= at else "first"


def without_own_password(section: Section) -> list[User]:
    """Students now in the class who haven't chosen a password, by name."""
    people = User.objects.students().filter(
        enrolments__section=section, enrolments__left_on__isnull=True, is_active=True
    )
    return [
        person
        for person in people
        if person.must_change_password or not person.has_usable_password()
    ]
