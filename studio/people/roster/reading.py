"""From a bundle to a roster, by what its files are called or by what their headers say."""

import re

from django.utils.translation import gettext as _

from studio.errors import Refused

from .files import unpacked
from .oneroster import roster_of_tables
from .plain import roster_of_plain
from .rows import Roster
from .tables import Table, table_of

KINDS = ("users", "classes", "enrollments", "roles", "manifest")
_NAMED = re.compile(r"(users|classes|enrollments|roles|manifest)\b")


def roster_in(bundle: bytes) -> Roster:
    """What an upload says. Raises `Refused` where it can't be read as a whole."""
    files = unpacked(bundle)
    tables: dict[str, Table] = {}
    for name, content in files.items():
        if not (named := _NAMED.match(name)):
            continue
        if named[1] in tables:
            message = _("There are two files of %(kind)s. Leave one of them out.")
            raise Refused(message % {"kind": named[1]}, field="uploads")
        tables[named[1]] = table_of(name, content)
    if tables.keys() & {"users", "classes", "enrollments"}:
        return roster_of_tables(tables)
    if len(files) != 1:
        message = _(
            "No roster was found. Upload a zip with users.csv, classes.csv and enrollments.csv, "
            "those files, or one list with a header row."
        )
        raise Refused(message, field="uploads")
    [(name, content)] = files.items()
    table = table_of(name, content)
    kind = _kind(table)
    return roster_of_tables({kind: table}) if kind else roster_of_plain(table)


def _kind(table: Table) -> str:
    """Which file of a OneRoster bundle has this header; "" for a plain list."""
    columns = set(table.columns)
    if {"classsourcedid", "usersourcedid"} <= columns:
        return "enrollments"
    if {"sourcedid", "givenname", "familyname"} <= columns and columns & {"enableduser", "role"}:
        return "users"
    if {"sourcedid", "title"} <= columns and columns & {"classcode", "classtype"}:
        return "classes"
    return ""
