"""A clay body, a brief and the classes that it is given to, made through the services."""

from datetime import date
from typing import Any

from planning.models import Assignment, Brief
from planning.services.briefs import create_brief, give_brief
from studio.people.models import Section, User
from studio.room.models import ClayBody
from studio.room.services import add_body
from tests.cast import NOW

GIVEN = date(2026, 3, 9)
DUE = date(2026, 5, 13)

# Invented, within what data sheets of hand-building bodies say.
BODY = {
    "name": "Grogged stoneware",
    "cone": "6",
    "wet_density_g_per_cm3": "1.95",
    "water_pct_wet_basis": "21",
    "drying_shrinkage_pct": "6",
    "total_shrinkage_pct": "10.5",
    "loss_on_ignition_pct": "6",
    "source": "Test bars, February",
}

TERMS: dict[str, Any] = {
    "what_to_make": "A pot that could not exist without something that grew.",
    "surface": "smooth",
    "firings": "Bisque, then glaze",
    "min_fired_height_mm": 150,
    "max_fired_height_mm": 340,
    "max_fired_width_mm": 300,
    "max_fired_depth_mm": 300,
    "least_thumbnails": 6,
    "least_source_forms": 3,
    "least_refinements": 2,
    "least_distinct_ideas": None,
    "wall_mm": 8,
    "base_mm": 10,
    "coil_mm": 14,
    "corner_coil_mm": 8,
    "rows_per_blend": 2,
    "rise_per_lesson_mm": 60,
    "soft_wall_mm": 120,
    "longest_coil_mm": None,
    "tolerance_mm": 5,
    "tolerance_pct": 3,
    "working_allowance_pct": 20,
}


def a_body(by: User, **changed: Any) -> ClayBody:
    assert by.studio is not None
    values = {
        name: float(value) if name not in {"name", "cone", "source"} else value
        for name, value in (BODY | changed).items()
    }
    return add_body(studio=by.studio, by=by, body=values)


def a_brief(by: User, title: str = "Something that grew", **changed: Any) -> Brief:
    """A brief in the studio's first clay body, which is made where there is none."""
    assert by.studio is not None
    body = ClayBody.objects.filter(studio=by.studio).first() or a_body(by)
    terms = TERMS | {"clay_body": body} | changed
    return create_brief(studio=by.studio, by=by, title=title, terms=terms, at=NOW)


def given(by: User, *sections: Section, brief: Brief | None = None) -> list[Assignment]:
    """The brief, given to these classes by somebody who teaches them all."""
    return give_brief(
        brief=brief or a_brief(by),
        by=by,
        sections=sections,
        given_on=GIVEN,
        due_on=DUE,
        at=NOW,
    )
