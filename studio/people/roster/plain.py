"""A plain list with a header row: id, given name, family name, class, class id, sign-in name.

One row for each student in a class. The class is known by its class id, without that column by
its name as it stands in the list.
"""

from django.utils.translation import gettext as _

from studio.errors import Refused

from .cells import id_cell, sign_in_cell, text_cell
from .rows import BadRow, ClassRow, EnrolmentRow, PersonRow, Roster
from .tables import Row, Table

# Our column, then what else it may be called (as `column_key` makes it).
COLUMNS = {
    "id": ("id", "studentid", "sourcedid", "rosterid"),
    "given": ("givenname", "firstname"),
    "family": ("familyname", "lastname", "surname"),
    "class": ("class", "classname", "group"),
    "class id": ("classid", "classsourcedid"),
    "sign-in name": ("signinname", "username"),
}


def roster_of_plain(table: Table) -> Roster:
    """Students and their classes. Raises `Refused` without ids and names."""
    found = {
        ours: next((key for key in keys if key in table.columns), "")
        for ours, keys in COLUMNS.items()
    }
    _check_header(table, found)
    roster = Roster(bad=list(table.bad))
    unclear: set[str] = set()
    for row in table.rows:
        class_id = row[found["class id"]] or row[found["class"]]
        if class_id and not row[found["id"]]:
            unclear.add(class_id)
        roster.named.add((class_id, row[found["id"]]))
        try:
            _read(roster, table, row, found)
        except ValueError as why:
            roster.bad.append(BadRow(table.file, row.line, str(why)))
    if not table.bad:
        roster.whole_classes = set(roster.classes) - unclear
    return roster


def _check_header(table: Table, found: dict[str, str]) -> None:
    if not found["id"]:
        message = _(
            "%(file)s needs a column “id” with each student's number in the school's list, so "
            "that the next import finds the same students again."
        )
        raise Refused(message % {"file": table.file}, field="uploads")
    if not found["given"] and not found["family"]:
        message = _("%(file)s needs the columns “given name” and “family name”.")
        raise Refused(message % {"file": table.file}, field="uploads")


def _read(roster: Roster, table: Table, row: Row, found: dict[str, str]) -> None:
    person = PersonRow(
        file=table.file,
        line=row.line,
        sourced_id=id_cell(row[found["id"]], "id"),
        given_name=text_cell(row[found["given"]], "given name"),
        family_name=text_cell(row[found["family"]], "family name"),
        username=sign_in_cell(row[found["sign-in name"]], "sign-in name"),
        is_student=True,
    )
    if not person.given_name and not person.family_name:
        raise ValueError(_("The name is empty."))
    before = roster.people.get(person.sourced_id)
    if before is not None and _said(before) != _said(person):
        message = _("Line %(line)s says something else about the same id.")
        raise ValueError(message % {"line": before.line})
    title = text_cell(row[found["class"]], "class", 120)
    class_id = text_cell(row[found["class id"]], "class id", 255) or title
    roster.people.setdefault(person.sourced_id, person)
    if not class_id:
        return
    roster.classes.setdefault(
        class_id, ClassRow(table.file, row.line, class_id, title or class_id[:120], "")
    )
    roster.enrolments.setdefault(
        (class_id, person.sourced_id),
        EnrolmentRow(table.file, row.line, class_id, person.sourced_id, teaches=False),
    )


def _said(person: PersonRow) -> tuple[str, ...]:
    return person.given_name, person.family_name, person.username
