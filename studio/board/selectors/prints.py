"""Everything that the studio prints, by class and by week, for the page that lists it."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from urllib.parse import urlencode
from uuid import UUID

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from planning.models import Assignment
from studio.people.models import Section, User
from studio.people.selectors import lessons_by_class
from studio.web.shown import day_text

Text = str | Promise


@dataclass(frozen=True)
class Print:
    """A link: what it is, and what it is for."""

    label: Text
    about: Text
    url: str


@dataclass(frozen=True)
class ProjectPrints:
    assignment: Assignment
    prints: list[Print]


@dataclass(frozen=True)
class ClassPrints:
    """`lesson` is today's or the next one."""

    section: Section
    lesson: date | None
    prints: list[Print]
    projects: list[ProjectPrints]


# Name of the address, what it is, what for.
_Kind = tuple[str, Text, Text]
_OF_CLASS: tuple[_Kind, ...] = (
    (
        "substitute_pdf",
        gettext_lazy("Substitute's sheet"),
        gettext_lazy("Who has which pot where, what comes next, what nobody does, whom to call."),
    ),
    (
        "cover_list_pdf",
        gettext_lazy("Cover list"),
        gettext_lazy("What is wrapped at the end of the lesson, and for how long."),
    ),
)
_OF_CLASS_TEACHING: tuple[_Kind, ...] = (
    (
        "sign_in_cards",
        gettext_lazy("Sign-in cards"),
        gettext_lazy("For students without a password of their own."),
    ),
)
_OF_PROJECT: tuple[_Kind, ...] = (
    (
        "issue_list_pdf",
        gettext_lazy("Clay to issue"),
        gettext_lazy("Beside the scale: how much clay each pot gets."),
    ),
    (
        "base_labels",
        gettext_lazy("Base labels"),
        gettext_lazy("Under each pot on its board, with a code to scan."),
    ),
)
_OF_PROJECT_TEACHING: tuple[_Kind, ...] = (
    (
        "class_set",
        gettext_lazy("Plans at true size"),
        gettext_lazy("Templates, base outlines and bench cards of the whole class in one PDF."),
    ),
    (
        "thumbnail_sheets_pdf",
        gettext_lazy("Thumbnail sheets"),
        gettext_lazy("White paper to sketch on, with a code that brings a scan to its student."),
    ),
    (
        "mark_sheet_pdf",
        gettext_lazy("Mark sheet"),
        gettext_lazy("The class's levels on one sheet; for you, not for the wall."),
    ),
    (
        "reports_pdf",
        gettext_lazy("Student reports"),
        gettext_lazy("A page for each student, of what is released."),
    ),
)
_WEEKS: tuple[Text, ...] = (
    gettext_lazy("Kiln schedule, this week"),
    gettext_lazy("Kiln schedule, next week"),
    gettext_lazy("Kiln schedule, the week after"),
)

# Its own form asks for the paper.
_ASKS_ITSELF = {"sign_in_cards", "class_set"}


def class_prints(person: User, *, today: date, paper: str) -> list[ClassPrints]:
    """The classes that the person sees, those with a lesson soonest first. Three queries."""
    sections = list(Section.objects.visible_to(person).current())
    lessons = lessons_by_class([section.pk for section in sections])
    projects = _projects(sections)
    of_class = _OF_CLASS + (_OF_CLASS_TEACHING if person.teaches else ())
    of_project = _OF_PROJECT + (_OF_PROJECT_TEACHING if person.teaches else ())
    listed = [
        ClassPrints(
            section=section,
            lesson=next((day for day in lessons[section.pk] if day >= today), None),
            prints=_prints(of_class, section.pk, paper),
            projects=[
                ProjectPrints(each, _prints(of_project, each.pk, paper))
                for each in projects[section.pk]
            ],
        )
        for section in sections
    ]
    return sorted(listed, key=lambda each: (each.lesson or date.max, each.section.title))


def week_prints(*, today: date, paper: str) -> list[Print]:
    """The kiln schedule of this week and the next ones."""
    monday = today - timedelta(days=today.weekday())
    url = reverse("kiln_schedule_pdf")
    return [
        Print(label, _about_week(begins), _with_query(url, week=begins.isoformat(), paper=paper))
        for number, label in enumerate(_WEEKS)
        for begins in [monday + timedelta(weeks=number)]
    ]


def _about_week(begins: date) -> str:
    said = _("From %(day)s: firings, pots by layer, what to check, the log.")
    return said % {"day": day_text(begins)}


def _with_query(url: str, **asked: str) -> str:
    return f"{url}?{urlencode(asked)}"


def _projects(sections: Sequence[Section]) -> dict[UUID, list[Assignment]]:
    found: dict[UUID, list[Assignment]] = defaultdict(list)
    for assignment in Assignment.objects.filter(section__in=sections):
        found[assignment.section_id].append(assignment)
    return found


def _prints(kinds: Iterable[_Kind], of: UUID, paper: str) -> list[Print]:
    return [Print(label, about, _url(name, of, paper)) for name, label, about in kinds]


def _url(name: str, of: UUID, paper: str) -> str:
    url = reverse(name, args=[of])
    return url if name in _ASKS_ITSELF else _with_query(url, paper=paper)
