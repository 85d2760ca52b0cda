"""Sign-in by studio and name."""

from typing import Any

from django.contrib.auth.backends import BaseBackend
from django.http import HttpRequest

from .models import Studio, User


class StudioBackend(BaseBackend):
    """An account is found by its studio's short name and its own sign-in name.

    Without a studio: accounts that have none, then, where the installation holds a single
    studio, that one, so that a school on its own never types its short name.
    """

    def authenticate(
        self,
        request: HttpRequest | None,
        username: str | None = None,
        password: str | None = None,
        studio: str | None = None,
        **_: Any,
    ) -> User | None:
        if username is None or password is None:
            return None
        person = self._find(username, studio or "")
        if person is None:
            # Takes as long as a wrong password, so that names can't be told apart by time.
            User().set_password(password)
            return None
        if person.check_password(password) and person.is_active:
            return person
        return None

    def get_user(self, user_id: str) -> User | None:
        return User.objects.select_related("studio").filter(pk=user_id, is_active=True).first()

    def _find(self, username: str, slug: str) -> User | None:
        named = User.objects.select_related("studio").filter(username__iexact=username.strip())
        if slug:
            return named.filter(studio__slug=slug.strip().lower()).first()
        alone = named.filter(studio__isnull=True).first()
        if alone is not None:
            return alone
        studios = list(Studio.objects.values_list("pk", flat=True)[:2])
        return named.filter(studio=studios[0]).first() if len(studios) == 1 else None
