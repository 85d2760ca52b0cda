"""Briefs, where they were given, and where they can be given still."""

from dataclasses import dataclass, field

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from planning.models import Assignment, Brief
from planning.models.brief import Terms
from studio.people.models import Section, User


@dataclass(frozen=True)
class BriefRow:
    """A brief with the person's own classes that have it; those that are over are left out."""

    brief: Brief
    assignments: list[Assignment] = field(default_factory=list)


def brief_rows(person: User, *, archived: bool) -> list[BriefRow]:
    """Two queries however many briefs."""
    rows = {
        brief.pk: BriefRow(brief)
        for brief in Brief.objects.visible_to(person).filter(archived=archived)
    }
    for assignment in _assignments(person).filter(brief__in=rows, section__archived=False):
        rows[assignment.brief_id].assignments.append(assignment)
    return list(rows.values())


def assignments_of_brief(brief: Brief, person: User) -> list[Assignment]:
    """The person's classes that have it, by name; a class that is over comes last."""
    given = _assignments(person).filter(brief=brief)
    return list(given.order_by("section__archived", "section__title"))


def classes_to_give(brief: Brief, person: User) -> QuerySet[Section]:
    """The person's classes that don't have it."""
    sections = Section.objects.taught_by(person).current()
    return sections.exclude(pk__in=Assignment.objects.filter(brief=brief).values("section"))


def cautions(terms: Terms) -> list[str]:
    """What looks unusual about the terms: advice, never a refusal. Common practice, no source."""
    said = []
    if terms.coil_mm < terms.wall_mm:
        said.append(
            _(
                "The coil is thinner than the wall. Coils are mostly somewhat thicker than the "
                "wall that they become, since working them in presses them."
            )
        )
    narrow = min(terms.max_fired_width_mm, terms.max_fired_depth_mm)
    if 4 * terms.wall_mm > narrow:
        said.append(
            _("The wall takes more than half of the widest pot. Check the wall and the limits.")
        )
    if 2 * terms.base_mm > terms.max_fired_height_mm:
        said.append(
            _("The base takes more than half of the tallest pot. Check the base and the limits.")
        )
    if terms.base_mm < terms.wall_mm:
        said.append(
            _("The base is thinner than the wall. It carries the pot, so it is mostly as thick.")
        )
    if terms.clay_body.retired:
        said.append(
            _("%(body)s is no longer used. Choose another clay body before you give this brief.")
            % {"body": terms.clay_body}
        )
    return said


def _assignments(person: User) -> QuerySet[Assignment]:
    return Assignment.objects.visible_to(person).select_related("section")
