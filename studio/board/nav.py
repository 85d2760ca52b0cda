"""What the header offers to each role."""

from typing import Any, NamedTuple

from django.http import HttpRequest
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from studio.people.models import User
from studio.units.scales import Metric


class Entry(NamedTuple):
    label: str | Promise
    url: str
    current: bool


_STAFF: tuple[tuple[str | Promise, str], ...] = (
    (_("Today"), "today"),
    (_("Classes"), "classes"),
    (_("Briefs"), "briefs"),
    (_("Plans"), "plans"),
    (_("Clay room"), "clay_room"),
    (_("Kiln room"), "kiln_room"),
    (_("Marking"), "marking"),
    (_("Prints"), "prints"),
    (_("People"), "people"),
    (_("Settings"), "settings"),
)
_STUDENT: tuple[tuple[str | Promise, str], ...] = ((_("Your pots"), "pieces"),)
_TEACHING_ONLY = {"briefs", "plans", "marking"}
_HEAD_ONLY = {"people", "settings"}
# Lists with an address of their own, by the room that leads to them.
_LED_TO = {
    "clay_room": "bodies",
    "kiln_room": "glazes",
    "marking": "rubrics",
    "people": "roster",
    "settings": "tokens",
}


def navigation(request: HttpRequest) -> dict[str, Any]:
    """Context processor: `nav`, the person's `studio`, and `units` for the measure filters."""
    person = getattr(request, "user", None)
    if person is None or not person.is_authenticated or person.studio is None:
        return {"nav": [], "studio": None, "units": Metric()}
    entries = [
        Entry(label, reverse(name), _stands_in(request.path, name))
        for label, name in _offered(person)
    ]
    return {"nav": entries, "studio": person.studio, "units": person.studio}


def _stands_in(path: str, name: str) -> bool:
    rooms = (name, _LED_TO[name]) if name in _LED_TO else (name,)
    return path.startswith(tuple(reverse(room) for room in rooms))


def _offered(person: User) -> list[tuple[str | Promise, str]]:
    if person.is_student:
        return list(_STUDENT)
    hidden = set() if person.is_head else _HEAD_ONLY
    if not person.teaches:
        hidden = hidden | _TEACHING_ONLY
    return [(label, name) for label, name in _STAFF if name not in hidden]
