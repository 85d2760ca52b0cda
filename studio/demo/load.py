"""Feeds the invented school through the services: everybody does what they would have done."""

from collections.abc import Callable
from datetime import datetime

from assessments.models import Result
from studio.demo.darkroom import workers
from studio.demo.loading_bars import load_bars
from studio.demo.loading_briefs import load_briefs, load_source_forms
from studio.demo.loading_clay import load_deliveries, load_returns, load_supply, load_talks
from studio.demo.loading_kilns import load_coming, load_kilns
from studio.demo.loading_marks import load_marks
from studio.demo.loading_people import clock_of, load_people
from studio.demo.loading_pieces import load_pieces
from studio.demo.loading_pots import load_pots
from studio.demo.material import Material
from studio.people.models import Studio


def is_loaded(material: Material) -> bool:
    """Whether the demo's studio is there."""
    return Studio.objects.filter(slug=material.school["studio"]["slug"]).exists()


def is_whole(material: Material) -> bool:
    """Whether the last step of the load was reached: the marks are given back."""
    slug = material.school["studio"]["slug"]
    given = Result.objects.filter(piece__studio__slug=slug)
    sections = given.values_list("piece__assignment__section__sourced_id", flat=True)
    return set(material.released) <= set(sections)


def load_demo(material: Material, *, now: datetime, say: Callable[[str], object]) -> None:
    """Load the school as if its term had begun nine weeks before `now`.

    Not one transaction: it goes through the same services as everybody's work, pictures are read
    by workers beside it, and those see only what is committed.
    """
    school = load_people(material, clock_of(material, now))
    say(f"{len(school.students)} students in {len(school.sections)} classes.")
    assignments = load_briefs(material, school)
    load_bars(material, school)
    sources = load_source_forms(material, school)
    say(f"{len(material.briefs)} briefs given. Now the drawings, about half a minute.")
    with workers():
        works = load_pieces(material, school, assignments, sources)
        say("Now the clay, the pots and the kilns.")
        load_kilns(material, school)
        load_talks(school)
        load_deliveries(material, school)
        load_pots(material, school, works)
    load_returns(material, school)
    load_supply(material, school)
    load_coming(material, school)
    load_marks(material, school, works)
