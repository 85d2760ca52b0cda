"""Who may do what: every address of the service, and what each person of the cast gets there.

Each subject has its table. One line is one method on one address, in these columns:

    method name of … head teacher other_teacher technician student classmate nobody signed_out

`of` names what stands in the address, in order: things of `tests.world`, which belong to the
cast's `student` in the class of `teacher`; a word after `=` stands there itself.

    ok    answered; a write may also be refused with a sentence (400, 409, 415, 422)
    go    sent on to another page
    in    sent to the sign-in page; 401 from the API
    no    403: not for this role
    --    404: this one is somebody else's

Three kinds of people need no column, for what they get follows from these. Somebody of another
studio gets what the same role gets here, and 404 wherever the address names a thing. An id that
nothing has is 404 for whoever comes so far. A method that has no line writes nothing: 405.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from django.urls import URLPattern, URLResolver, get_resolver, resolve, reverse

from . import bench, board, clay, config, keeping, kilns, marks, people, planning, room, ware

PEOPLE = (
    "head",
    "teacher",
    "other_teacher",
    "technician",
    "student",
    "classmate",
    "nobody",
    "signed_out",
)

TABLES = (
    board.TABLE,
    planning.TABLE,
    ware.TABLE,
    bench.TABLE,
    clay.TABLE,
    kilns.TABLE,
    room.TABLE,
    marks.TABLE,
    people.TABLE,
    keeping.TABLE,
    config.TABLE,
)

WORDS = {"ok", "go", "in", "no", "--"}


@dataclass(frozen=True)
class Line:
    verb: str
    name: str
    of: tuple[str, ...]
    expected: dict[str, str]

    def __str__(self) -> str:
        return "-".join((self.verb, self.name, *self.of))

    @property
    def is_api(self) -> bool:
        return self.name.startswith("api_")

    def address(self, things: dict[str, str]) -> str:
        return reverse(
            self.name, args=[each[1:] if each[0] == "=" else things[each] for each in self.of]
        )


def lines() -> list[Line]:
    """The table, read: each line ends with one word a person."""
    rows = [row.split() for table in TABLES for row in table.splitlines() if row.strip()]
    found = []
    for row in rows:
        words, expected = row[: -len(PEOPLE)], row[-len(PEOPLE) :]
        assert len(words) >= 2, f"too few words: {' '.join(row)}"  # a method and a name
        assert set(expected) <= WORDS, f"odd words: {' '.join(row)}"
        of = dict(zip(PEOPLE, expected, strict=True))
        found.append(Line(verb=words[0], name=words[1], of=tuple(words[2:]), expected=of))
    return found


def pages() -> list[Line]:
    """What a browser can open."""
    return [line for line in lines() if line.verb == "GET" and not line.is_api]


def pages_for(who: str) -> list[Line]:
    """Whole pages to look at."""
    parts = {
        "class_set_progress",
        "drawing_card",
        "drawing_image",
        "kiln_calendar",
        "plan_photo_image",
        "pot_photo_card",
        "pot_photo_image",
        "scan",
        "scan_page_image",
        "sheet_image",
        "solid_shape",
        "solid_stl",
        "week_plan_progress",
    }
    return [
        line
        for line in pages()
        if line.expected[who] == "ok"
        and line.name not in parts
        and not line.name.endswith(("_pdf", "_csv", "_zip"))
    ]


def patterns(inside: URLResolver | None = None, before: str = "") -> Iterator[tuple[str, str]]:
    """Name and route of every address that the service answers."""
    for each in (inside or get_resolver()).url_patterns:
        route = before + str(each.pattern)
        if isinstance(each, URLResolver):
            yield from patterns(each, route)
        elif isinstance(each, URLPattern):
            yield each.name or "", route


def route_of(address: str) -> str:
    return resolve(address).route
