"""Loads the demo's clay, source forms, briefs and assignments."""

from decimal import Decimal
from typing import Any

from planning.models import Assignment, Brief, SourceForm
from planning.models.brief import TERMS
from planning.services.briefs import create_brief, give_brief
from planning.services.source_forms import add_source_form
from studio.demo.loading_people import SET_UP, School
from studio.demo.material import Material
from studio.people.models import Role
from studio.room.models import ClayBody
from studio.room.services import add_body

BRIEF_HOUR = 16  # after school


Given = dict[tuple[str, str], Assignment]


def load_briefs(material: Material, school: School) -> Given:
    """Set the briefs and give them to their classes; by the brief's title and the class."""
    bodies = {row["name"]: _clay_body(row, school) for row in material.school["clay_bodies"]}
    assignments: Given = {}
    for row in material.briefs:
        brief = _brief(row, bodies, school)
        for given in row["given"]:
            on = school.clock.day(given["on"])
            [assignment] = give_brief(
                brief=brief,
                by=school.staff[given.get("by", row["by"])],
                sections=[school.sections[given["class"]]],
                given_on=on,
                due_on=school.clock.day(given["due"]),
                at=school.clock.at(on, 8),
            )
            assignments[row["title"], given["class"]] = assignment
    return assignments


def load_source_forms(material: Material, school: School) -> dict[str, SourceForm]:
    """Add what the studio's list lacks; all of it by name. There is a list once a brief is set."""
    forms = SourceForm.objects.filter(studio=school.studio)
    there = set(forms.values_list("name", flat=True))
    for name in material.school["source_forms"]["names"]:
        if name not in there:
            add_source_form(studio=school.studio, by=school.head, name=name)
    return {form.name: form for form in forms}


def _clay_body(row: dict[str, Any], school: School) -> ClayBody:
    """Entered by the technician, from the data sheets."""
    technician = next(each for each in school.staff.values() if each.role == Role.TECHNICIAN)
    return add_body(studio=school.studio, by=technician, body=row)


def _brief(row: dict[str, Any], bodies: dict[str, ClayBody], school: School) -> Brief:
    terms = {name: row[name] for name in TERMS if name in row}
    terms |= {
        "clay_body": bodies[row["clay_body"]],
        "working_allowance_pct": Decimal(row["working_allowance_pct"]),
    }
    return create_brief(
        studio=school.studio,
        by=school.staff[row["by"]],
        title=row["title"],
        terms=terms,
        at=school.clock.at(school.clock.day(SET_UP + 4), BRIEF_HOUR),
    )
