"""Sign-in by studio and name."""

from typing import Any

from django.contrib.auth.backends import BaseBackend
from django.http import HttpRequest

from .first_passwords import as_printed
from .models import Studio, User


def person_named(username: str, slug: str) -> User | None:
    """An account is found by its studio's short name and its own sign-in name.

    Without a studio: accounts that have none, then, where the installation holds a single
    studio, that one, so that a school on its own never types its short name.
    """
    named = User.objects.select_related("studio").filter(username__iexact=username.strip())
    if slug:
        return named.filter(studio__slug=slug.strip().lower()).first()
    alone = named.filter(studio__isnull=True).first()
    if alone is not None:
        return alone
    studio = only_studio()
    return named.filter(studio=studio).first() if studio is not None else None


def only_studio() -> Studio | None:
    """The studio of an installation that holds a single one."""
    studios = list(Studio.objects.all()[:2])
    return studios[0] if len(studios) == 1 else None


class StudioBackend(BaseBackend):
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
        person = person_named(username, studio or "")
        if person is None or not person.has_usable_password():
            # Takes as long as a wrong password, so that names can't be told apart by time.
            User().set_password(password)
            return None
        if person.must_change_password:
            password = as_printed(password)
        if person.check_password(password) and person.is_active:
            return person
        return None

    def get_user(self, user_id: str) -> User | None:
        return User.objects.select_related("studio").filter(pk=user_id, is_active=True).first()
