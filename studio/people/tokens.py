"""API tokens: staff only, hashed, named, scoped, ending."""

import hashlib
import secrets
from datetime import datetime, timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from drf_spectacular.extensions import OpenApiAuthenticationExtension
from rest_framework.authentication import BaseAuthentication, get_authorization_header
from rest_framework.exceptions import AuthenticationFailed
from rest_framework.request import Request

from studio.errors import Refused

from .audit import record
from .models import ApiToken, User

KEYWORD = "Token"
LONGEST = timedelta(days=400)


def digest_of(secret: str) -> str:
    """Tokens are 256 random bits: a plain hash can't be guessed back."""
    return hashlib.sha256(secret.encode()).hexdigest()


def make_token(
    *, person: User, name: str, scope: str, ends_at: datetime, at: datetime
) -> tuple[ApiToken, str]:
    """A new token and its secret, which is shown once and never stored."""
    if not person.is_staff or person.studio is None:
        raise Refused(_("Only staff make tokens."))
    if not at < ends_at <= at + LONGEST:
        raise Refused(_("Choose an end date within the next 400 days."), field="ends_at")
    secret = secrets.token_urlsafe(32)
    with transaction.atomic():
        token = ApiToken.objects.create(
            person=person,
            name=name,
            scope=scope,
            digest=digest_of(secret),
            created_at=at,
            ends_at=ends_at,
        )
        record(
            studio=person.studio,
            by=person,
            action="token made",
            subject=token,
            after={"name": name, "scope": scope, "ends_at": ends_at.isoformat()},
        )
    return token, secret


def end_token(*, token: ApiToken, by: User) -> None:
    with transaction.atomic():
        if token.person.studio is not None:
            record(
                studio=token.person.studio,
                by=by,
                action="token ended",
                subject=token,
                before={"name": token.name},
            )
        token.delete()


class TokenAuthentication(BaseAuthentication):
    """`Authorization: Token <secret>`."""

    def authenticate(self, request: Request) -> tuple[User, ApiToken] | None:
        parts = get_authorization_header(request).split()
        if not parts or parts[0].lower() != KEYWORD.lower().encode():
            return None
        if len(parts) != 2:  # noqa: PLR2004 -- the keyword and the secret
            raise AuthenticationFailed(_("Write the header as: Authorization: Token <secret>."))
        now = timezone.now()
        token = (
            ApiToken.objects.select_related("person__studio")
            .filter(digest=digest_of(parts[1].decode("latin-1")), ends_at__gt=now)
            .first()
        )
        if token is None or not token.person.is_active or not token.person.is_staff:
            raise AuthenticationFailed(_("This token is unknown or has ended. Make a new one."))
        if token.last_used_on != now.date():
            ApiToken.objects.filter(pk=token.pk).update(last_used_on=now.date())
        return token.person, token

    def authenticate_header(self, request: Request) -> str:
        return KEYWORD


class TokenScheme(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]
    """How the schema describes it; registered by being defined."""

    target_class = TokenAuthentication
    name = "token"

    def get_security_definition(self, auto_schema: object) -> dict[str, str]:
        return {
            "type": "apiKey",
            "in": "header",
            "name": "Authorization",
            "description": f"`{KEYWORD} <secret>`; staff make tokens under Settings.",
        }
