"""Who signs in, and how guessing is slowed.

Wrong passwords are counted per name *and* address: a class shares its school's address, so
one guesser never locks the others out, and a name is not locked for its owner elsewhere.
A guess is counted before the password is checked, so that many at once can't slip through.
"""

from datetime import datetime, timedelta
from hashlib import sha256

from django.contrib.auth import authenticate
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from studio.errors import Refused
from studio.people.access import require_may_help
from studio.people.audit import record
from studio.people.backends import person_named
from studio.people.guessing import FORGOTTEN_AFTER, wait_after
from studio.people.models import SignInGuess, User
from studio.people.names import sign_in_name


class TooManyGuesses(Refused):
    """A pause for this name at this address; `wait` says how long."""

    def __init__(self, wait: timedelta) -> None:
        self.wait = wait
        super().__init__(
            _(
                "Too many wrong passwords for this name. Try again in %(wait)s, "
                "or ask a teacher to unlock it."
            )
            % {"wait": _in_words(wait)}
        )


def check_sign_in(
    *, studio_slug: str, username: str, password: str, address: str, at: datetime
) -> User:
    """The person, if name and password are right and a first password still holds."""
    name, slug = sign_in_name(username), studio_slug.strip().lower()
    key = name_key(person_named(name, slug), name, slug)
    _count_guess(key, address, at)
    person = authenticate(username=name, password=password, studio=slug)
    if not isinstance(person, User):
        message = _("This name and password don't go together. Check both and try again.")
        raise Refused(message)
    SignInGuess.objects.filter(name_key=key, address=address).update(wrong=0)
    ends_at = person.first_password_ends_at
    if person.must_change_password and ends_at is not None and ends_at <= at:
        raise Refused(_first_password_over(person))
    return person


def unlock_sign_in(*, person: User, by: User) -> None:
    """Forget the wrong guesses at this person's name, wherever they came from."""
    require_may_help(by, person)
    with transaction.atomic():
        forgotten, _rows = SignInGuess.objects.filter(name_key=str(person.pk)).delete()
        if forgotten and person.studio is not None:
            record(studio=person.studio, by=by, action="sign-in unlocked", subject=person)


def name_key(person: User | None, name: str, slug: str) -> str:
    """One key per account however its name was written, and one per name that nobody has."""
    if person is not None:
        return str(person.pk)
    return "nobody " + sha256(f"{slug}\0{name}".encode("utf-8", "replace")).hexdigest()


def _count_guess(key: str, address: str, at: datetime) -> None:
    with transaction.atomic():
        # Twice the time, so that no row goes while somebody is just counting on it.
        SignInGuess.objects.filter(last_at__lt=at - 2 * FORGOTTEN_AFTER).delete()
        SignInGuess.objects.get_or_create(name_key=key, address=address, defaults={"last_at": at})
        guess = SignInGuess.objects.select_for_update().get(name_key=key, address=address)
        if guess.last_at <= at - FORGOTTEN_AFTER:
            guess.wrong = 0
        left = guess.last_at + wait_after(guess.wrong) - at
        if left > timedelta(0):
            raise TooManyGuesses(left)
        guess.wrong, guess.last_at = guess.wrong + 1, at
        guess.save(update_fields=["wrong", "last_at"])


def _in_words(wait: timedelta) -> str:
    seconds = max(1, -(-int(wait.total_seconds() * 1000) // 1000))
    if seconds <= 90:  # noqa: PLR2004 -- beyond a minute and a half people think in minutes
        return ngettext("%(n)d second", "%(n)d seconds", seconds) % {"n": seconds}
    minutes = -(-seconds // 60)
    return ngettext("%(n)d minute", "%(n)d minutes", minutes) % {"n": minutes}


def _first_password_over(person: User) -> str:
    if person.is_student:
        return _("This first password has ended. Ask your teacher for a new one.")
    return _("This first password has ended. Ask a head of your studio for a new one.")
