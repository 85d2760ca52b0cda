"""Loads the invented school into an empty place, once."""

from time import monotonic
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from studio.demo.load import is_loaded, is_whole, load_demo
from studio.demo.material import Material
from studio.people.models import Role, User
from studio.uploads.models import StoredImage

BROKEN_OFF = (
    "The demo was broken off half-way. Delete the database and its pictures "
    "(the folder var, unless you chose others), then load it again."
)


class Command(BaseCommand):
    help = "Load the invented school of the demo. Run again, it changes nothing."

    def handle(self, *args: Any, **options: Any) -> None:
        material = Material()
        if is_loaded(material):
            if not is_whole(material):
                raise CommandError(BROKEN_OFF)
            name = material.school["studio"]["name"]
            self.stdout.write(f"{name} is loaded already; nothing was changed.")
        else:
            start = monotonic()
            load_demo(material, now=timezone.now(), say=self.stdout.write)
            drawings = StoredImage.objects.filter(studio__slug=_slug(material)).count()
            self.stdout.write(f"{drawings} drawings. Loaded in {monotonic() - start:.0f} s.")
        self.stdout.write(_ways_in(material))


def _slug(material: Material) -> str:
    return str(material.school["studio"]["slug"])


def _ways_in(material: Material) -> str:
    """How to sign in as each role."""
    known = material.school["sign_in"]
    people = User.objects.filter(studio__slug=_slug(material))
    students = people.students().filter(sourced_id__in=known["students"])
    rows = sorted(people.staff(), key=lambda person: Role.values.index(person.role)) + list(
        students
    )
    lines = [
        f"  {person.role:<11} {person.username:<20} {known['passwords'][person.role]:<18} "
        f"{person.name}"
        for person in rows
    ]
    head = f"\nSign in to the studio “{_slug(material)}” as:"
    return "\n".join([head, *lines, "The other students get their sign-in cards from a teacher."])
