"""Requests that name a charset of their own are read like any other."""

from collections.abc import Iterable
from io import BytesIO
from wsgiref.types import StartResponse, WSGIEnvironment

import pytest
from django.core.handlers.wsgi import WSGIRequest

FORM = b"username=zo%C3%AB"
MULTIPART = (
    b'--clay\r\nContent-Disposition: form-data; name="username"\r\n\r\nzo\xc3\xab\r\n--clay--\r\n'
)
KINDS = {
    "application/x-www-form-urlencoded": FORM,
    "multipart/form-data; boundary=clay": MULTIPART,
}


def typed(environ: WSGIEnvironment, _start: StartResponse) -> Iterable[bytes]:
    """Stands for the service: what it finds in the form and in the query."""
    request = WSGIRequest(environ)
    return [request.POST["username"].encode(), request.GET["q"].encode()]


def start(*_answer: object) -> None:
    raise NotImplementedError


@pytest.mark.parametrize("charset", ["utf8", "UTF-8", '"iso-8859-1"', "utf-7", "base64", "idna"])
@pytest.mark.parametrize("kind", KINDS)
def test_a_form_is_read_as_utf_8_whatever_it_calls_itself(kind: str, charset: str) -> None:
    # Not before the test's own settings hold: the service looks for its static files at once.
    from studio.config.wsgi import forms_as_utf_8  # noqa: PLC0415

    body = KINDS[kind]
    environ = {
        "REQUEST_METHOD": "POST",
        "QUERY_STRING": "q=%C3%A9",
        "CONTENT_TYPE": f"{kind}; Charset={charset}",
        "CONTENT_LENGTH": str(len(body)),
        "wsgi.input": BytesIO(body),
    }
    found = forms_as_utf_8(typed)(environ, start)  # type: ignore[arg-type]
    assert [text.decode() for text in found] == ["zoë", "é"]
