"""The one place where the API turns a refusal into a problem document (RFC 9457)."""

from collections.abc import Iterator
from http import HTTPStatus
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.utils.translation import gettext as _
from rest_framework.exceptions import APIException, NotFound, ValidationError
from rest_framework.exceptions import PermissionDenied as ApiPermissionDenied
from rest_framework.response import Response
from rest_framework.views import set_rollback

from studio.errors import Conflict, Problem, Refused
from studio.web.busy import busy_sentence, is_busy

CONTENT_TYPE = "application/problem+json"


def problem(
    status: int,
    detail: str,
    errors: list[Problem] | None = None,
    headers: dict[str, str] | None = None,
) -> Response:
    """A problem document; `errors` has one entry per field path."""
    body: dict[str, Any] = {
        "type": "about:blank",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail,
    }
    if errors:
        body["errors"] = [{"field": each.field, "detail": each.message} for each in errors]
    return Response(body, status=status, content_type=CONTENT_TYPE, headers=headers)


def _flattened(detail: Any, path: str = "") -> Iterator[Problem]:
    """Walk DRF's nested error detail into one problem per field path."""
    if isinstance(detail, dict):
        for key, inner in detail.items():
            name = "" if key == "non_field_errors" else str(key)
            yield from _flattened(inner, ".".join(filter(None, (path, name))))
    elif isinstance(detail, list):
        for place, inner in enumerate(detail):
            nested = isinstance(inner, dict | list)
            yield from _flattened(inner, f"{path}.{place}".lstrip(".") if nested else path)
    else:
        yield Problem(str(detail), path)


def problem_response(exception: Exception, context: dict[str, Any]) -> Response | None:
    """DRF's exception handler."""
    set_rollback()
    if is_busy(exception):
        return problem(503, busy_sentence(), headers={"Retry-After": "5"})
    return _answer(exception)


def _answer(exception: Exception) -> Response | None:
    match exception:
        case Refused():
            status = 409 if isinstance(exception, Conflict) else 422
            return problem(status, str(exception), exception.problems)
        case ValidationError():
            errors = list(_flattened(exception.detail))
            return problem(400, _("Some fields need another look."), errors)
        case Http404() | NotFound():
            return problem(404, _("There is nothing here for you."))
        case PermissionDenied() | ApiPermissionDenied():
            return problem(403, str(exception) or _("You may not do this."))
        case APIException():
            headers = _headers(exception)
            return problem(exception.status_code, str(exception.detail), headers=headers)
    return None


def _headers(exception: APIException) -> dict[str, str]:
    headers = {}
    if wait := getattr(exception, "wait", None):
        headers["Retry-After"] = str(int(wait))
    if sign_in := getattr(exception, "auth_header", None):
        headers["WWW-Authenticate"] = sign_in
    return headers
