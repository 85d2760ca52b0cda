"""Loads the demo's studio, staff, classes and roster, each as the person whose job it is."""

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from studio.demo.clock import Clock
from studio.demo.material import WEEKDAYS, Material
from studio.people.calendar import CyclePattern, Pattern, WeekdayPattern
from studio.people.models import Role, Section, Studio, User
from studio.people.roster.apply import apply_roster
from studio.people.roster.files import packed
from studio.people.roster.kept import keep_upload
from studio.people.roster.plan import roster_plan
from studio.people.roster.reading import roster_in
from studio.people.services import (
    add_closure,
    create_person,
    create_studio,
    edit_class,
    reset_password,
    set_own_password,
    set_pattern,
    set_teachers,
)

SET_UP = -72  # days from loading
ROSTER_READ = -67


@dataclass
class School:
    """Who and what is there, by the names that the files use."""

    studio: Studio
    head: User
    clock: Clock
    staff: dict[str, User] = field(default_factory=dict)
    sections: dict[str, Section] = field(default_factory=dict)
    students: dict[str, User] = field(default_factory=dict)


def load_people(material: Material, clock: Clock) -> School:
    """Make the studio with everybody in it."""
    school = _studio_with_staff(material, clock)
    for closure in material.school["closures"]:
        add_closure(
            studio=school.studio,
            by=school.head,
            name=closure["name"],
            starts_on=clock.day(closure["starts"]),
            ends_on=clock.day(closure["ends"]),
            today=clock.day(SET_UP),
        )
    _read_roster(material, school)
    for row in material.classes:
        _set_up_class(row, school)
    for student in material.school["sign_in"]["students"]:
        _give_known_password(school, student, material.school["sign_in"]["passwords"]["student"])
    return school


def clock_of(material: Material, now: datetime) -> Clock:
    return Clock(now, ZoneInfo(material.school["studio"]["time_zone"]))


def _studio_with_staff(material: Material, clock: Clock) -> School:
    passwords = material.school["sign_in"]["passwords"]
    at = clock.at(clock.day(SET_UP), 10)
    head_row, *others = sorted(material.staff, key=lambda row: row["role"] != Role.HEAD)
    head = create_studio(
        **material.school["studio"],
        head_given_name=head_row["given_name"],
        head_family_name=head_row["family_name"],
        head_username=head_row["sign_in_name"],
        password=passwords[Role.HEAD],
        at=at,
    ).person
    studio = Studio.objects.get(people=head)
    school = School(studio, head, clock, staff={head.username: head})
    for row in others:
        made = create_person(
            studio=studio,
            by=head,
            role=row["role"],
            given_name=row["given_name"],
            family_name=row["family_name"],
            username=row["sign_in_name"],
            password=passwords[row["role"]],
            at=at,
        )
        school.staff[row["sign_in_name"]] = made.person
    return school


def _read_roster(material: Material, school: School) -> None:
    """Upload, preview, apply: as the head does on the page."""
    bundle = packed([("roster.csv", material.roster)])
    today = school.clock.day(ROSTER_READ)
    digest = keep_upload(person=school.head, bundle=bundle, at=school.clock.now)
    previewed = roster_plan(roster_in(bundle), school.studio, today)
    apply_roster(
        studio=school.studio,
        by=school.head,
        digest=digest,
        fingerprint=previewed.fingerprint(),
        today=today,
    )
    sections = Section.objects.filter(studio=school.studio).select_related("studio")
    students = User.objects.students().filter(studio=school.studio).select_related("studio")
    school.sections = {section.sourced_id: section for section in sections}
    school.students = {student.sourced_id: student for student in students}


def _set_up_class(row: dict[str, Any], school: School) -> None:
    section = school.sections[row["sourced_id"]]
    edit_class(
        section=section,
        by=school.head,
        title=row["title"],
        code=row["code"],
        sourced_id=row["sourced_id"],
        archived=False,
    )
    set_teachers(section=section, by=school.head, teachers=[school.staff[row["teacher"]]])
    starts_on = school.clock.day(row["starts"])
    set_pattern(
        section=section,
        by=school.head,
        pattern=_pattern(row, starts_on),
        starts_on=starts_on,
        ends_on=school.clock.day(row["ends"]),
        today=school.clock.day(ROSTER_READ),
    )


def _pattern(row: dict[str, Any], starts_on: date) -> Pattern:
    if "weekdays" in row:
        return WeekdayPattern(frozenset(WEEKDAYS.index(day) for day in row["weekdays"]))
    return CyclePattern(
        length=row["cycle_length"], meets_on=frozenset(row["cycle_days"]), counts_from=starts_on
    )


def _give_known_password(school: School, student_id: str, password: str) -> None:
    """A teacher resets it and the student chooses their own, as anybody would."""
    student = school.students[student_id]
    at = school.clock.at(school.clock.day(ROSTER_READ + 3), 9)
    first = reset_password(person=student, by=school.head, at=at)
    student.refresh_from_db()
    set_own_password(person=student, current=first, new=password)
    student.refresh_from_db()
