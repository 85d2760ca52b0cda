"""The files of OneRoster 1.1 and 1.2 (1EdTech), CSV binding: users, classes, enrollments, roles.

In 1.1 the role stands with the user, in 1.2 in roles.csv. A file is bulk (everybody) or delta
(what changed since); `status` and `dateLastModified` are filled in delta and empty in bulk.
Password columns are never read.
"""

from collections.abc import Callable
from typing import TypeVar

from django.utils.translation import gettext as _

from .cells import date_cell, id_cell, moment_cell, sign_in_cell, status_cell, text_cell
from .rows import BadRow, ClassRow, EnrolmentRow, PersonRow, Roster
from .tables import Row, Table

T = TypeVar("T")
Roles = dict[str, set[str]]


def roster_of_tables(tables: dict[str, Table]) -> Roster:
    """Tables by kind (`users`, `classes`, `enrollments`, `roles`, `manifest`), any may lack."""
    roster = Roster(bad=[bad for table in tables.values() for bad in table.bad])
    if users := tables.get("users"):
        _read_people(roster, users, _roles_elsewhere(tables))
    if classes := tables.get("classes"):
        _read_classes(roster, classes)
    if enrolments := tables.get("enrollments"):
        _read_enrolments(roster, enrolments, delta=_is_delta(enrolments, tables.get("manifest")))
    return roster


def _is_delta(table: Table, manifest: Table | None) -> bool:
    """By the manifest; without one, a file that fills both columns in every row is delta."""
    if manifest is not None:
        said = {row["propertyname"].lower(): row["value"].lower() for row in manifest.rows}
        if "file.enrollments" in said:
            return said["file.enrollments"] == "delta"
    return bool(table.rows) and all(row["status"] and row["datelastmodified"] for row in table.rows)


def _roles_elsewhere(tables: dict[str, Table]) -> Roles:
    """What roles.csv says; where there is none, what people are in their classes."""
    roles: Roles = {}
    source = tables.get("roles") or tables.get("enrollments")
    for row in source.rows if source else ():
        roles.setdefault(row["usersourcedid"], set()).add(row["role"].lower())
    return roles


def _read_people(roster: Roster, table: Table, elsewhere: Roles) -> None:
    table.require("sourcedId", "givenName", "familyName")

    def person(row: Row) -> PersonRow:
        sourced_id = id_cell(row["sourcedid"], "sourcedId")
        roles = {row["role"].lower()} - {""} or elsewhere.get(sourced_id, set())
        leaves = status_cell(row["status"]) or row["enableduser"].lower() in {"false", "0"}
        if not roles and not leaves:
            raise ValueError(_("No file says whether this is a student. Add the role."))
        given = text_cell(row["preferredgivenname"] or row["givenname"], "givenName")
        family = text_cell(row["preferredfamilyname"] or row["familyname"], "familyName")
        if not given and not family and not leaves:
            raise ValueError(_("The name is empty."))
        return PersonRow(
            file=table.file,
            line=row.line,
            sourced_id=sourced_id,
            given_name=given,
            family_name=family,
            username=sign_in_cell(row["username"], "username"),
            is_student="student" in roles or not roles,
            leaves=leaves,
        )

    for found in _latest(roster, table, person, lambda row: row["sourcedid"]):
        roster.people[found.sourced_id] = found


def _read_classes(roster: Roster, table: Table) -> None:
    table.require("sourcedId", "title")

    def section(row: Row) -> ClassRow:
        sourced_id = id_cell(row["sourcedid"], "sourcedId")
        if status_cell(row["status"]):
            raise ValueError(
                _("The file deletes this class. Classes are ended by hand, on their own page.")
            )
        return ClassRow(
            file=table.file,
            line=row.line,
            sourced_id=sourced_id,
            title=text_cell(row["title"], "title", 120) or sourced_id[:120],
            code=text_cell(row["classcode"], "classCode", 255)[:12],
        )

    for found in _latest(roster, table, section, lambda row: row["sourcedid"]):
        roster.classes[found.sourced_id] = found


def _read_enrolments(roster: Roster, table: Table, *, delta: bool) -> None:
    table.require("classSourcedId", "userSourcedId", "role")
    if delta:
        roster.notes.append(
            _("This roster lists changes only, so nobody leaves a class for not being in it.")
        )
    else:
        whole = {row["classsourcedid"] for row in table.rows} | set(roster.classes)
        roster.whole_classes = whole - _unclear(roster, table)

    def enrolment(row: Row) -> EnrolmentRow | None:
        roster.named.add((row["classsourcedid"], row["usersourcedid"]))
        role = row["role"].lower()
        if role not in {"student", "teacher"}:
            return None
        return EnrolmentRow(
            file=table.file,
            line=row.line,
            class_id=id_cell(row["classsourcedid"], "classSourcedId"),
            person_id=id_cell(row["usersourcedid"], "userSourcedId"),
            teaches=role == "teacher",
            begins_on=date_cell(row["begindate"], "beginDate"),
            ends_on=date_cell(row["enddate"], "endDate"),
            leaves=status_cell(row["status"]),
            sourced_id=text_cell(row["sourcedid"], "sourcedId", 255),
        )

    def key(row: Row) -> str:
        return "\0".join((row["classsourcedid"], row["usersourcedid"], row["role"].lower()))

    for found in _latest(roster, table, enrolment, key):
        if found is not None:
            kept = roster.teaching if found.teaches else roster.enrolments
            kept[found.class_id, found.person_id] = found


def _unclear(roster: Roster, table: Table) -> set[str]:
    """Classes of which nobody may be called gone, because a row doesn't say whom it names."""
    if table.bad or any(not row["classsourcedid"] for row in table.rows):
        return {row["classsourcedid"] for row in table.rows} | set(roster.classes)
    return {row["classsourcedid"] for row in table.rows if not row["usersourcedid"]}


def _latest(
    roster: Roster, table: Table, read: Callable[[Row], T], key: Callable[[Row], str]
) -> list[T]:
    """Read each row once; of two that say different things about one id, the later change."""
    kept: dict[str, tuple[Row, T]] = {}
    for row in table.rows:
        try:
            found = read(row)
        except ValueError as why:
            roster.bad.append(BadRow(table.file, row.line, str(why)))
            continue
        before = kept.get(key(row))
        if before is None:
            kept[key(row)] = (row, found)
        elif before[0].cells != row.cells:
            order = _later(before[0], row)
            if order is None:
                message = _("Line %(line)s says something else about the same id.")
                reason = message % {"line": before[0].line}
                roster.bad.append(BadRow(table.file, row.line, reason))
            elif order:
                kept[key(row)] = (row, found)
    return [found for _row, found in kept.values()]


def _later(before: Row, row: Row) -> bool | None:
    """Whether the second row is the later one; None where the rows don't say."""
    first, second = moment_cell(before["datelastmodified"]), moment_cell(row["datelastmodified"])
    if first is None or second is None or first == second:
        return None
    return second > first
