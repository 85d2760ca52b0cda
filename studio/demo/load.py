"""Feeds the invented school through the services: everybody does what they would have done."""

from collections.abc import Callable
from datetime import datetime

from planning.models import PlanVersion
from studio.demo.darkroom import workers
from studio.demo.loading_briefs import load_briefs, load_source_forms
from studio.demo.loading_people import clock_of, load_people
from studio.demo.loading_pieces import load_pieces
from studio.demo.material import Material
from studio.people.models import Studio


def is_loaded(material: Material) -> bool:
    """Whether the demo's studio is there."""
    return Studio.objects.filter(slug=material.school["studio"]["slug"]).exists()


def is_whole(material: Material) -> bool:
    """Whether the last step of the load was reached: every plan is there."""
    expected = sum(bool(piece.plan) + bool(piece.first_plan) for piece in material.pieces)
    slug = material.school["studio"]["slug"]
    return PlanVersion.objects.filter(piece__studio__slug=slug).count() >= expected


def load_demo(material: Material, *, now: datetime, say: Callable[[str], object]) -> None:
    """Load the school as if its term had begun forty days before `now`.

    Not one transaction: it goes through the same services as everybody's work, pictures are read
    by workers beside it, and those see only what is committed.
    """
    school = load_people(material, clock_of(material, now))
    say(f"{len(school.students)} students in {len(school.sections)} classes.")
    assignments = load_briefs(material, school)
    sources = load_source_forms(material, school)
    say(f"{len(material.briefs)} briefs given. Now the drawings, about half a minute.")
    with workers():
        load_pieces(material, school, assignments, sources)
