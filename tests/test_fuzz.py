"""Requests made up from the API's own schema: no 500, and every answer as the schema says.

Schemathesis makes them; ids in addresses and bodies are those of `tests.world` about half of the
time, so that requests come past the first look-up. Nothing that they write stays.
"""

import uuid
from collections.abc import Iterator
from contextlib import suppress
from datetime import timedelta
from typing import Any

import pytest
import requests
import schemathesis
from django.test import Client
from django.utils import timezone
from drf_spectacular.generators import SchemaGenerator
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.errors import Unsatisfiable
from hypothesis.strategies import SearchStrategy
from schemathesis import Response
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from studio.people.models import ApiToken
from studio.people.tokens import make_token
from tests.world import World, undone

Callers = tuple[list[Client], dict[str, str]]
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
METHODS = ("get", "post", "put", "patch", "delete")
SITE = "http://testserver"
# What the id in an address is of, by the word before it.
FIRST_IDS = {
    "assignments": "assignment",
    "briefs": "brief",
    "build-checks": "build_check",
    "carry-ons": "carry_on",
    "classes": "class",
    "clay-batches": "clay_batch",
    "clay-bodies": "body",
    "clay-orders": "clay_order",
    "flaws": "flaw",
    "glazes": "glaze",
    "idea-changes": "idea_change",
    "kilns": "kiln",
    "losses": "loss",
    "meetings": "meeting",
    "nest": "packed_pot",
    "pieces": "piece",
    "places": "place",
    "plans": "plan",
    "pots": "pot",
    "programs": "program",
    "rubrics": "rubric",
    "sheets": "sheet",
    "slots": "slot",
    "source-forms": "source_form",
    "students": "student",
    "test-bars": "test_bar",
    "witness": "witness_reading",
}
# What ids in bodies are of, by their field.
FIELDS = {
    "clay_body": "body",
    "source_form": "source_form",
    "thumbnail": "thumbnail",
    "classes": "class",
    "sections": "class",
}


def the_schema() -> dict[str, Any]:
    generator: Any = SchemaGenerator
    made: dict[str, Any] = generator().get_schema(request=None, public=True)
    return made


OPERATIONS = [
    (method, path)
    for path, item in the_schema()["paths"].items()
    for method in METHODS
    if method in item
]


@pytest.fixture(scope="module")
def spec(_world: tuple[World, dict[str, Any]]) -> Any:
    made = the_schema()
    things = _world[0].things
    for path, item in made["paths"].items():
        for operation in item.values():
            for parameter in operation.get("parameters", []):
                if parameter["in"] == "path":
                    before = path.split("{" + parameter["name"])[0].rstrip("/").split("/")[-1]
                    parameter["schema"] = one_of(things[FIRST_IDS[before]])
    return schemathesis.openapi.from_dict(made)


def one_of(real: str) -> dict[str, Any]:
    return {"type": "string", "format": "uuid", "enum": [real, str(uuid.UUID(int=7))]}


@pytest.fixture
def callers(walked: World) -> Callers:
    """A teacher's program with a token, a person without a studio, a student's browser."""
    now = timezone.now()
    _token, secret = make_token(
        person=walked.person("teacher"),
        name="Fuzz",
        scope=ApiToken.Scope.WRITE,
        ends_at=now + timedelta(days=1),
        at=now,
    )
    program = Client(headers={"authorization": f"Token {secret}"}, raise_request_exception=False)
    return [program, walked.client("nobody"), walked.client("student")], walked.things


@pytest.mark.both_databases
@pytest.mark.parametrize(("method", "path"), OPERATIONS)
def test_the_api_answers_as_its_schema_says(
    method: str, path: str, spec: Any, callers: Callers
) -> None:
    clients, things = callers
    fuzz(spec[path][method], clients[:2], things, 2)


@pytest.mark.slow
@pytest.mark.parametrize(("method", "path"), OPERATIONS)
def test_the_api_answers_as_its_schema_says_for_long(
    method: str, path: str, spec: Any, callers: Callers
) -> None:
    """The others are mostly refused whatever they send."""
    (program, *others), things = callers
    fuzz(spec[path][method], [program], things, 6)
    fuzz(spec[path][method], others, things, 2)


def fuzz(operation: Any, clients: list[Client], things: dict[str, str], examples: int) -> None:
    """What the schema allows, then what it doesn't, from each."""
    for client in clients:
        run(operation.as_strategy(), client, things, examples)
        # Where nothing can be wrong with a request there is nothing to make up.
        with suppress(Unsatisfiable):
            wrong = operation.as_strategy(generation_mode=schemathesis.GenerationMode.NEGATIVE)
            run(wrong, client, things, examples)


def run(cases: SearchStrategy[Any], client: Client, things: dict[str, str], examples: int) -> None:
    @given(case=cases)
    @settings(
        max_examples=examples,
        database=None,
        phases=[Phase.explicit, Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    def asked_for(case: Any) -> None:
        case.validate_response(ask(client, case, things), checks=CHECKS)

    asked_for()


def ask(client: Client, case: Any, things: dict[str, str]) -> Response:
    """The case through Django's own client, within the test's transaction."""
    name_things(case.body, things)
    wanted = case.as_transport_kwargs(base_url=SITE)
    wanted.pop("cookies", None)
    prepared = requests.Request(**wanted).prepare()
    headers = {name: str(value) for name, value in prepared.headers.items()}
    with undone():
        got = client.generic(
            prepared.method or "GET",
            prepared.path_url,
            body_of(prepared),
            content_type=headers.pop("Content-Type", ""),
            headers=headers,
        )
    headers_got = {name: [value] for name, value in got.headers.items()}
    return Response(got.status_code, headers_got, got.content, prepared, elapsed=0, verify=True)


def name_things(body: Any, things: dict[str, str]) -> None:
    """Real ids in every other body, where the schema asks for ids."""
    if not isinstance(body, dict) or len(str(body)) % 2:
        return
    for field in FIELDS.keys() & body.keys():
        real = things[FIELDS[field]]
        body[field] = [real] if isinstance(body[field], list) else real


def body_of(prepared: requests.PreparedRequest) -> bytes:
    body: Any = prepared.body or b""
    if isinstance(body, Iterator):
        return b"".join(body)
    return body.encode() if isinstance(body, str) else body
