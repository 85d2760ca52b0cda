"""The people in the tests, made through the services.

`school()` is one studio with two classes, and another studio that must never see it. Every
password is PASSWORD. Today is TODAY, a Wednesday; the classes meet on Mondays and Wednesdays,
and on Tuesdays and Thursdays.
"""

from copy import deepcopy
from dataclasses import dataclass
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from django.apps import apps
from django.db import transaction
from django.db.models import AutoField, Model
from django.test import Client

from studio.people.calendar import WeekdayPattern
from studio.people.models import Role, Section, Studio, User
from studio.people.services import (
    create_class,
    create_person,
    create_studio,
    enrol,
    set_pattern,
)

PASSWORD = "clay-and-slip-9"
NOW = datetime(2026, 3, 11, 9, 30, tzinfo=UTC)
TODAY = date(2026, 3, 11)
ZONE = "Europe/Amsterdam"
TERM = (date(2026, 2, 2), date(2026, 6, 26))


@dataclass(frozen=True)
class Elsewhere:
    """The second studio, with a head, a teacher, a technician and a student of its own."""

    studio: Studio
    head: User
    teacher: User
    technician: User
    student: User
    section: Section


@dataclass(frozen=True)
class School:
    studio: Studio
    head: User
    teacher: User
    """Teaches `section`."""
    other_teacher: User
    """Teaches `other_section` and nothing else."""
    technician: User
    section: Section
    other_section: Section
    student: User
    """In `section`, as is the classmate."""
    classmate: User
    other_student: User
    """In `other_section`."""
    elsewhere: Elsewhere
    nobody: User
    """An account without a studio."""


def school() -> School:
    """Everybody of the cast, as the services make them.

    They are made once in a process; after that their rows are written at once, since nearly every
    test begins here.
    """
    if not _kept:
        before = [set(model._base_manager.values_list("pk", flat=True)) for model in _models()]
        made = _made()
        rows = [
            list(model._base_manager.exclude(pk__in=there))
            for model, there in zip(_models(), before, strict=True)
        ]
        _kept.append((deepcopy(made), [each for each in rows if each]))
        return made
    made, rows = _kept[0]
    with transaction.atomic():
        for each in rows:
            for row in each:
                if isinstance(row._meta.pk, AutoField):
                    row.pk = None  # a number of this database's own
            type(each[0])._base_manager.bulk_create(each)
    return deepcopy(made)


def _models() -> list[type[Model]]:
    return apps.get_models(include_auto_created=True)


_kept: list[tuple[School, list[list[Model]]]] = []


def _made() -> School:
    head = _studio("Brookfield School studio", "brookfield", "Ines", "Halloran")
    studio = _studio_of(head)
    teacher = person(head, Role.TEACHER, "Tomas", "Lindqvist")
    other_teacher = person(head, Role.TEACHER, "Priya", "Raman")
    technician = person(head, Role.TECHNICIAN, "Joost", "Bakker")
    section = a_class(head, "Period 3", "P3", teacher, {0, 2})
    other_section = a_class(head, "Period 5", "P5", other_teacher, {1, 3})
    return School(
        studio=studio,
        head=head,
        teacher=teacher,
        other_teacher=other_teacher,
        technician=technician,
        section=section,
        other_section=other_section,
        student=pupil(head, section, "Ode", "Amari"),
        classmate=pupil(head, section, "Bram", "Vos"),
        other_student=pupil(head, other_section, "Sunniva", "Kjeld"),
        elsewhere=_elsewhere(),
        nobody=User.objects.create_user(username="wanderer", password=PASSWORD),
    )


def today_there() -> date:
    """The date now where the cast's studio is; in the evening of UTC it is the next one there."""
    return datetime.now(ZoneInfo(ZONE)).date()


def person(head: User, role: Role, given_name: str, family_name: str, **extra: str) -> User:
    """One more person in the head's studio, with PASSWORD."""
    return create_person(
        studio=_studio_of(head),
        by=head,
        role=role,
        given_name=given_name,
        family_name=family_name,
        password=PASSWORD,
        at=NOW,
        **extra,
    ).person


def pupil(head: User, section: Section, given_name: str, family_name: str) -> User:
    """One more student in a class of the head's studio, with PASSWORD."""
    student = person(head, Role.STUDENT, given_name, family_name)
    enrol(section=section, student=student, by=head, on=TERM[0])
    return student


def a_class(head: User, title: str, code: str, teacher: User, weekdays: set[int]) -> Section:
    """One more class of the head's studio, with its dates for the term."""
    section = create_class(
        studio=_studio_of(head), by=head, title=title, code=code, teachers=[teacher]
    )
    return set_pattern(
        section=section,
        by=head,
        pattern=WeekdayPattern(frozenset(weekdays)),
        starts_on=TERM[0],
        ends_on=TERM[1],
        today=TODAY,
    )


def signed_in(person: User) -> Client:
    """A browser in which this person is signed in."""
    client = Client()
    client.force_login(person)
    return client


def _studio(name: str, slug: str, given_name: str, family_name: str) -> User:
    return create_studio(
        name=name,
        slug=slug,
        head_given_name=given_name,
        head_family_name=family_name,
        password=PASSWORD,
        time_zone=ZONE,
        at=NOW,
    ).person


def _studio_of(head: User) -> Studio:
    assert head.studio is not None
    return head.studio


def _elsewhere() -> Elsewhere:
    head = _studio("Westhaven studio", "westhaven", "Marta", "Oyelaran")
    teacher = person(head, Role.TEACHER, "Felix", "Aydin")
    section = a_class(head, "Evening group", "EV", teacher, {1})
    return Elsewhere(
        studio=_studio_of(head),
        head=head,
        teacher=teacher,
        technician=person(head, Role.TECHNICIAN, "Lena", "Sorokin"),
        student=pupil(head, section, "Nils", "Okoro"),
        section=section,
    )
