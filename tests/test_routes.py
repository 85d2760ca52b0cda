"""Every address × every method × every person, against the table in `tests.routes`."""

import uuid

import pytest
from django.test import Client

from tests.routes import PEOPLE, Line, lines, patterns, route_of
from tests.world import World, asked, undone

# A role in another studio, and the column that says what this role gets here.
STRANGERS = {
    "elsewhere.head": "head",
    "elsewhere.teacher": "teacher",
    "elsewhere.technician": "technician",
    "elsewhere.student": "student",
}
METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")
# For what takes long: one of each kind of person.
KINDS = ("head", "teacher", "student", "nobody", "signed_out")
REFUSED_WITH_A_SENTENCE = {400, 409, 415, 422}


def word_for(line: Line, status: int, location: str) -> str:
    """The answer in the words of the table; a number where it has none."""
    if status == 401 or (status == 302 and location.startswith("/sign-in/?next=")):
        return "in"
    if status in {403, 404}:
        return {403: "no", 404: "--"}[status]
    if 200 <= status < 300 or status in REFUSED_WITH_A_SENTENCE:
        return "ok"
    if status in {301, 302, 303}:
        return "go" if line.verb == "GET" else "ok"
    return str(status)


def answer(client: Client, line: Line, address: str) -> str:
    with undone():
        response = asked(client, line.verb, address, content_type=_content_type(line))
    return word_for(line, response.status_code, response.headers.get("Location", ""))


def _content_type(line: Line) -> str:
    return "application/json" if line.is_api else "application/x-www-form-urlencoded"


def is_a_thing(word: str) -> bool:
    """Whether the word of an address names something that belongs to somebody."""
    return word not in World.TEXTS and not word.startswith("=")


def may_answer(word: str) -> set[str]:
    """What somebody of a role gets who asks for a thing that isn't theirs, or that isn't at all.

    A page that sends the role on, whatever the address names, tells nothing by doing so.
    """
    return {"ok": {"--"}, "go": {"--", "go"}, "no": {"--", "no"}}.get(word, {word})


@pytest.mark.parametrize("line", lines(), ids=str)
def test_everybody_gets_what_the_table_says(line: Line, walked: World) -> None:
    address = line.address(walked.things)
    got = {who: answer(walked.client(who), line, address) for who in PEOPLE}
    assert got == line.expected


@pytest.mark.parametrize("line", lines(), ids=str)
def test_nothing_crosses_to_another_studio(line: Line, walked: World) -> None:
    address = line.address(walked.things)
    names_a_thing = any(is_a_thing(each) for each in line.of)
    for who, role in STRANGERS.items():
        word = line.expected[role]
        allowed = may_answer(word) if names_a_thing else {word}
        assert answer(walked.client(who), line, address) in allowed, who


@pytest.mark.slow
@pytest.mark.parametrize("line", [each for each in lines() if each.of], ids=str)
def test_an_id_that_nothing_has_is_not_found(line: Line, walked: World) -> None:
    for place in line.of:
        if not is_a_thing(place):
            continue
        address = line.address(walked.things | {place: str(uuid.uuid4())})
        for who in KINDS:
            got = answer(walked.client(who), line, address)
            assert got in may_answer(line.expected[who]), f"{who}: {place}"


@pytest.mark.slow
@pytest.mark.parametrize("line", {(line.name, line.of): line for line in lines()}.values(), ids=str)
def test_no_method_on_it_fails_and_unlisted_ones_write_nothing(line: Line, walked: World) -> None:
    listed = {each.verb for each in lines() if each.name == line.name}
    address = line.address(walked.things)
    got = {}
    for who in KINDS:
        client = walked.client(who)
        # What is listed others ask for in the table; one who may come in tries everything.
        for method in METHODS if who == "head" else {"GET", "POST"} - listed:
            with undone():
                got[who, method] = asked(client, method, address).status_code
    assert {key: status for key, status in got.items() if status >= 500} == {}
    for method in {"GET", "POST"} - listed:
        refused = {got[who, method] for who in KINDS if who != "signed_out"}
        assert refused <= {302, 403, 404, 405}, f"{method} is answered but not in the table"


def test_the_table_names_every_address(walked: World) -> None:
    """A page that nobody has listed is a page whose permissions nobody has thought about."""
    listed = {(line.name, route_of(line.address(walked.things))) for line in lines()}
    answered = {(name, route) for name, route in patterns() if not route.startswith("static")}
    assert answered - listed == set()


def test_the_table_has_no_line_twice() -> None:
    seen = [str(line) for line in lines()]
    assert [each for each in seen if seen.count(each) > 1] == []
