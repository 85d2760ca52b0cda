"""A kiln and slots for tests, made through the services."""

import re
from datetime import date, time
from html import unescape
from typing import Any

from django.http import HttpResponse
from django.http.response import HttpResponseBase

from studio.kilns.models import Program, Slot
from studio.kilns.services.kilns import set_up_kiln
from studio.kilns.services.slots import add_slot
from studio.people.models import User
from studio.room.models import Kiln
from studio.room.services.kilns import Posts
from tests.cast import NOW

# Invented, of the size of a school's front-loader. Lit any time, shut off by day.
KILN: dict[str, Any] = {
    "name": "Tall kiln",
    "shelf_shape": "round",
    "shelf_width_mm": 520,
    "shelf_depth_mm": 520,
    "shelf_thickness_mm": 20,
    "shelves": 4,
    "usable_height_mm": 660,
    "headroom_mm": 15,
    "clearance_mm": 10,
    "most_c": 1280,
    "unload_below_c": 60,
    "cooling_h": 6.0,
    "start_from": time(6),
    "start_until": time(22),
    "off_from": time(6),
    "off_until": time(21, 30),
    "posts": (Posts(100, 2), Posts(150, 2), Posts(200, 2), Posts(300, 1)),
    "note": "",
}

GLAZE: dict[str, Any] = {
    "name": "River blue",
    "cone_from": "5",
    "cone_to": "6",
    "runs": True,
    "food_statement": "Dinnerware safe at cone 6",
    "hazard_note": "Contains copper.",
}


def a_kiln(by: User, **changed: Any) -> Kiln:
    """A kiln of the person's studio, which confirms its shut-off themselves; with the first one
    come the shipped programs.
    """
    assert by.studio is not None
    values = KILN | {"confirms_shut_off": by} | changed
    return set_up_kiln(studio=by.studio, by=by, kiln=values)


def program(by: User, firing: str = "bisque") -> Program:
    """The first program of a kind."""
    found = Program.objects.filter(studio=by.studio, firing=firing).first()
    assert found is not None
    return found


def a_slot(by: User, **changed: Any) -> Slot:
    """A bisque on Thursday 19 March, lit at 20:00, in the studio's first kiln."""
    kiln = changed.pop("kiln", None) or Kiln.objects.filter(studio=by.studio).first() or a_kiln(by)
    values: dict[str, Any] = {
        "kiln": kiln,
        "program": changed.pop("program", None) or program(by),
        "on": date(2026, 3, 19),
        "start": time(20),
        "confirms": by,
        "by": by,
        "at": NOW,
    }
    return add_slot(**values | changed)


def text_of(answer: HttpResponseBase) -> str:
    """The words of a page, as they are read."""
    assert isinstance(answer, HttpResponse)
    assert answer.status_code == 200, answer.status_code
    words = re.sub(r"<[^>]+>", " ", answer.content.decode())
    text = " ".join(unescape(words).replace("\xa0", " ").split())
    return re.sub(r" ([.,:;])", r"\1", text)
