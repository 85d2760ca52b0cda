"""What a roster says, whichever form its file had. No database."""

from dataclasses import dataclass, field
from datetime import date


@dataclass(frozen=True)
class BadRow:
    """A row that is left out, and why."""

    file: str
    line: int
    reason: str


@dataclass(frozen=True)
class PersonRow:
    """A person. `username` is "" where the file has none; a leaver is to lose their classes."""

    file: str
    line: int
    sourced_id: str
    given_name: str
    family_name: str
    username: str
    is_student: bool
    leaves: bool = False


@dataclass(frozen=True)
class ClassRow:
    file: str
    line: int
    sourced_id: str
    title: str
    code: str


@dataclass(frozen=True)
class EnrolmentRow:
    file: str
    line: int
    class_id: str
    person_id: str
    teaches: bool
    begins_on: date | None = None
    ends_on: date | None = None
    leaves: bool = False
    sourced_id: str = ""


@dataclass
class Roster:
    """All rows of one upload.

    `whole_classes` are the classes whose full list of students this is: whoever is missing
    there has left. A student whom even a bad row names is in `named`, so that a slip in one
    cell never reads as leaving; a bad row that doesn't say whom it names puts its class, or
    every class, out of `whole_classes`.
    """

    people: dict[str, PersonRow] = field(default_factory=dict)
    classes: dict[str, ClassRow] = field(default_factory=dict)
    enrolments: dict[tuple[str, str], EnrolmentRow] = field(default_factory=dict)
    teaching: dict[tuple[str, str], EnrolmentRow] = field(default_factory=dict)
    whole_classes: set[str] = field(default_factory=set)
    named: set[tuple[str, str]] = field(default_factory=set)
    bad: list[BadRow] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
