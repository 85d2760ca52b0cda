"""Hostile values in every field of every form of every page: a sentence, never a 500."""

import random
from collections.abc import Iterator
from http import HTTPStatus
from typing import Any
from urllib.parse import urlencode, urljoin

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from tests.hostile import FILES, LONG, some
from tests.markup import Form, forms_in
from tests.routes import Line, lines, pages
from tests.world import World, asked, undone

# One of each kind of person; the others see the same forms.
SENDERS = ("head", "teacher", "technician", "student", "nobody", "signed_out")
MANY = 2

Sent = dict[str, list[str]]


@pytest.mark.slow
@pytest.mark.parametrize("line", pages(), ids=str)
def test_no_form_fails_on_many_hostile_values(line: Line, walked: World) -> None:
    assert failures(walked, line, MANY, senders(line)) == []


@pytest.mark.slow
@pytest.mark.parametrize("line", [each for each in lines() if each.verb == "POST"], ids=str)
def test_no_write_fails_on_a_body_that_is_not_what_it_says(line: Line, walked: World) -> None:
    """From one who may write there: others are refused before the body is looked at."""
    client = walked.client((*senders(line), "head")[0])
    address, got = line.address(walked.things), {}
    for kind, body in BODIES:
        with undone():
            response = client.generic("POST", address, body, content_type=kind)
        got[kind, body[:20]] = response.status_code
    assert {key: status for key, status in got.items() if status >= 500} == {}


def test_every_write_refuses_a_missing_csrf_token(walked: World) -> None:
    """Forged requests are refused before a view looks at them."""
    answered = {}
    for line in lines():
        if line.verb != "POST" or line.is_api:
            continue
        client = Client(enforce_csrf_checks=True, raise_request_exception=False)
        client.force_login(walked.person("head"))
        answered[str(line)] = client.post(line.address(walked.things)).status_code
    assert set(answered.values()) == {HTTPStatus.FORBIDDEN}, answered


@pytest.mark.slow
@pytest.mark.parametrize("who", ["head", "student"])
def test_no_page_fails_on_hostile_query_strings(who: str, walked: World) -> None:
    client, failed = walked.client(who), []
    for line in pages():
        address = line.address(walked.things)
        for value in ("a\x00b", *some(2, str(line))):
            query = urlencode([(name, value) for name in QUERY_NAMES], errors="replace")
            status = asked(client, "GET", f"{address}?{query[:60_000]}").status_code
            if status >= 500:
                failed.append(f"{address}?{value[:30]!r}: {status}")
    assert failed == []


@pytest.mark.parametrize(
    "headers",
    [
        {"HTTP_HOST": "elsewhere.example"},
        {"HTTP_HOST": "a b\x00"},
        {"HTTP_COOKIE": "sessionid=\x00; csrftoken=" + "x" * 5000},
        {"HTTP_COOKIE": "=;;;==\xff"},
        {"HTTP_ACCEPT_LANGUAGE": "xx-" + "y" * 600 + ",*;q=nan"},
        {"HTTP_ACCEPT": "\x00"},
        {"HTTP_RANGE": "bytes=9-1,-0"},
        {"HTTP_IF_MODIFIED_SINCE": "yesterday"},
        {"HTTP_IF_NONE_MATCH": '"' * 99},
        {"HTTP_AUTHORIZATION": "Token \xff\xfe"},
        {"HTTP_AUTHORIZATION": "Token"},
        {"HTTP_X_FORWARDED_FOR": "::ffff:999.1.1.1"},
        {"REMOTE_ADDR": ""},
        {"QUERY_STRING": "%ff%00&&=&a[]=%"},
        {"CONTENT_LENGTH": "-1"},
        {"CONTENT_LENGTH": "many"},
    ],
    ids=lambda headers: "-".join(f"{key}:{value[:12]!r}" for key, value in headers.items()),
)
def test_no_page_fails_on_hostile_headers(headers: dict[str, str], walked: World) -> None:
    failed = []
    for who in ("teacher", "signed_out"):
        client = walked.client(who)
        for address in ("/", "/sign-in/", "/api/briefs/", "/people/", "/nowhere/"):
            for method in ("GET", "POST"):
                status = client.generic(method, address, **headers).status_code  # type: ignore[arg-type]
                if status >= 500:
                    failed.append(f"{who} {method} {address}: {status}")
    assert failed == []


@pytest.mark.parametrize("path", ["/%00", "/people/%ff/", "/" + "a/" * 2000, "//", "/..%2f..%2f"])
def test_no_address_fails(path: str, walked: World) -> None:
    assert walked.client("head").get(path).status_code in {
        HTTPStatus.MOVED_PERMANENTLY,
        HTTPStatus.FOUND,
        HTTPStatus.BAD_REQUEST,
        HTTPStatus.NOT_FOUND,
        HTTPStatus.OK,
    }


def senders(line: Line) -> list[str]:
    return [who for who in SENDERS if line.expected[who] == "ok"]


def failures(walked: World, line: Line, count: int, whose: list[str]) -> list[str]:
    """A form that somebody before saw too is only sent as a whole."""
    address, failed = line.address(walked.things), []
    seen = set()
    for who in whose:
        for form in forms_in(shown(walked.client(who), address)):
            client = walked.client(who)  # one of the forms signs out
            target = urljoin(address, form.action)
            same = (target, *form.names)
            tried = wholes(form, 1) if same in seen else variations(form, count)
            for label, sent in tried:
                with undone():
                    status = send(client, form, target, sent)
                if status >= 500:
                    failed.append(f"{who} {form.method} {target} {label}: {status}")
            seen.add(same)
    return failed


def shown(client: Client, address: str) -> str:
    """The page; nothing where the answer is a file."""
    response = asked(client, "GET", address)
    is_page = response.headers.get("Content-Type", "").startswith("text/html")
    return response.content.decode() if is_page else ""  # type: ignore[attr-defined]


def variations(form: Form, count: int) -> Iterator[tuple[str, Sent]]:
    """Each field in turn, then the whole."""
    filled = form.filled()
    names = form.names
    if len(names) > 4 * count:  # rows of the same fields
        names = random.Random(form.action).sample(names, 4 * count)
    for name in names:
        for value in some(count, name):
            yield f"{name}={value[:40]!r}", filled | {name: [value]}
        yield f"{name} missing", {key: value for key, value in filled.items() if key != name}
    yield from wholes(form, count)


def wholes(form: Form, count: int) -> Iterator[tuple[str, Sent]]:
    """All fields at once; and fields missing, doubled and unheard of."""
    filled = form.filled()
    for value in some(count, form.action):
        yield f"all={value[:40]!r}", {name: [value] for name in form.names}
    yield "nothing", {}
    yield "doubled", {name: values * 2 for name, values in filled.items()}
    yield "unheard of", filled | {f"x{n}": ["y"] for n in range(20)} | {"\x00": ["\x00"]}


def send(client: Client, form: Form, target: str, sent: Sent) -> int:
    if form.method == "get":
        query = urlencode(sent, doseq=True, errors="replace")[:60_000]
        return client.get(f"{target.partition('?')[0]}?{query}").status_code
    data: dict[str, Any] = dict(sent)
    files = [control.name for control in form.controls if control.kind == "file"]
    for name in files:
        data[name] = [SimpleUploadedFile(label or "x", content) for label, content in FILES]
    return client.post(target, data).status_code


QUERY_NAMES = ("q", "page", "next", "sort", "by", "on", "names", "state", "class", "view")
BODIES: list[tuple[str, bytes | str]] = [
    ("application/x-www-form-urlencoded", b"\xff\xfe=%zz&\x00&=&a"),
    ("application/x-www-form-urlencoded; charset=no-such", b"a=b"),
    ("application/x-www-form-urlencoded; charset=utf-16", "a=b".encode("utf-16")),
    ("application/x-www-form-urlencoded", "&".join(f"a{n}=1" for n in range(4000)).encode()),
    ("multipart/form-data", b"no boundary"),
    ("multipart/form-data; boundary=x", b"--x\r\nContent-Disposition: form-data\r\n\r\n"),
    (
        "multipart/form-data; boundary=x",
        b'--x\r\nContent-Disposition: form-data; name="a"; filename="\x00"\r\n\r\ny\r\n--x--\r\n',
    ),
    ("application/json", b"{"),
    ("application/json", b"[" * 5000),
    ("application/json", b'{"a": NaN, "b": 1e999, "\\ud800": "\\u0000"}'),
    ("text/xml", b"<!DOCTYPE x [<!ENTITY y SYSTEM 'file:///etc/passwd'>]><x>&y;</x>"),
    ("\x00", LONG.encode()),
]
