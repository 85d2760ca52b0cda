"""A write that is asked for twice is done once.

A program sends `Idempotency-Key`; its retry with the same key and body gets the first answer.
"""

import hashlib
import json
import secrets
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any, NamedTuple

from django.db import IntegrityError, transaction
from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _
from rest_framework.renderers import JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response

from studio.errors import Conflict, Refused

from .access import person_of
from .models import IdempotencyKey, User

HEADER = "Idempotency-Key"
FIELD = "once"
CSRF_FIELD = "csrfmiddlewaretoken"
LONGEST_KEY = 80
KEPT_FOR = timedelta(days=7)


class UsedAlready(Conflict):
    """The key stands for another request."""


class Answer(NamedTuple):
    """An HTTP status and what is sent as JSON."""

    status: int
    content: Any


def answered_once(
    *,
    person: User,
    key: str,
    request_digest: str,
    answer: Callable[[], Answer],
    at: datetime,
) -> Answer:
    """The answer of the first call with this key; `answer` writes within the same transaction.

    The same key with another digest is a `Conflict`. What `answer` raises takes the key back
    with everything else, so that a corrected request may use it again.
    """
    try:
        with transaction.atomic():
            # First the key: a second call waits here until the first is done, one way or other.
            kept = IdempotencyKey.objects.create(
                person=person,
                key=key,
                request_digest=request_digest,
                status=0,
                answer={},
                at=at,
            )
            given = answer()
            # Within a dict, since a bare None would be kept as "not answered".
            kept.status, kept.answer = given.status, {"content": given.content}
            kept.save(update_fields=["status", "answer"])
            IdempotencyKey.objects.filter(person=person, at__lt=at - KEPT_FOR).delete()
            return given
    except IntegrityError:
        # A clash of the key, unless the answer's own rows clashed.
        before = IdempotencyKey.objects.filter(person=person, key=key).first()
        if before is None:
            raise
    if before.request_digest != request_digest:
        message = _("This Idempotency-Key was used for another request. Send a new key.")
        raise UsedAlready(message, field=HEADER)
    return Answer(before.status, before.answer["content"])


def once(request: Request, act: Callable[[], Response]) -> Response:
    """For API views: run the write, once for each key where the request has one."""
    key = request.headers.get(HEADER, "")
    if not key:
        return act()
    if len(key) > LONGEST_KEY or not (key.isascii() and key.isprintable()):
        message = _("An Idempotency-Key has at most %(most)s plain characters.")
        raise Refused(message % {"most": LONGEST_KEY}, field=HEADER)

    def answer() -> Answer:
        response = act()
        # As it is sent: dates, ids and decimals in their text form.
        return Answer(
            response.status_code, json.loads(JSONRenderer().render(response.data) or b"null")
        )

    given = answered_once(
        person=person_of(request),
        key=key,
        request_digest=request_digest(request),
        answer=answer,
        at=timezone.now(),
    )
    return Response(given.content, status=given.status)


def once_for_form(request: HttpRequest, act: Callable[[], dict[str, Any]]) -> dict[str, Any]:
    """For pages: run the write once for the form's hidden `once` (see `fresh_key`).

    What `act` returns is kept as JSON; a second tap reads it. A form without the key is a form
    of somebody's own making and is simply done.
    """
    key = request.POST.get(FIELD, "")
    if not key or len(key) > LONGEST_KEY or not (key.isascii() and key.isprintable()):
        return act()
    said = [request.path, sorted((k, v) for k, v in request.POST.lists() if k != CSRF_FIELD)]
    digest = hashlib.sha256(json.dumps(said).encode()).hexdigest()
    try:
        given = answered_once(
            person=person_of(request),
            key=key,
            request_digest=digest,
            answer=lambda: Answer(200, act()),
            at=timezone.now(),
        )
    except UsedAlready:
        message = _(
            "This form was sent before with other figures. Go back and open the page again."
        )
        raise Conflict(message) from None
    return dict(given.content)


def once_or_shown(
    request: HttpRequest, act: Callable[[], dict[str, Any]], show: Callable[[Refused], object]
) -> dict[str, Any] | None:
    """As `once_for_form`; what is refused goes to `show`, and there is no answer."""
    try:
        return once_for_form(request, act)
    except Refused as refusal:
        show(refusal)
        return None


def fresh_key() -> str:
    """For a form's hidden field `once`: its first post counts."""
    return secrets.token_urlsafe(18)


def request_digest(request: Request) -> str:
    """Equal for requests that ask for the same: method, address and parsed body."""
    said = [request.method, request.get_full_path(), request.data]
    text = json.dumps(said, sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()
