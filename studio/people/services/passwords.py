"""First passwords and own passwords. Hashing takes long by design: never inside a transaction."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.hashers import make_password
from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Conflict, Refused
from studio.people.access import require_class, require_may_help, studio_of
from studio.people.audit import record
from studio.people.first_passwords import end_of_first_password, first_password
from studio.people.models import Section, User
from studio.people.selectors import without_own_password

from .accounts import check_password_is_good
from .checking import locked_person

PASSWORD_FIELDS = ["password", "must_change_password", "first_password_ends_at"]


@dataclass(frozen=True)
class FirstPassword:
    """What stands on one sign-in card; `hashed` is what is kept of it."""

    person: User
    password: str
    hashed: str


def reset_password(*, person: User, by: User, at: datetime) -> str:
    """A new first password, answered once. Teachers: students of their own classes. Heads: all."""
    require_may_help(by, person)
    given = first_password()
    hashed = make_password(given)
    with transaction.atomic():
        kept = locked_person(person)
        require_may_help(by, kept)
        _set_first(kept, hashed, at)
        kept.save(update_fields=PASSWORD_FIELDS)
        record(studio=studio_of(kept), by=by, action="password reset", subject=kept)
    return given


def set_own_password(*, person: User, current: str | None, new: str) -> User:
    """The person's own choice. `current` may be left out while a first password is to change."""
    seen = person.password
    if not person.must_change_password and not person.check_password(current or ""):
        raise Refused(_("This is not your current password."), field="current")
    if person.check_password(new):
        raise Refused(_("Choose another password than the one you have."), field="new")
    check_password_is_good(new, person, field="new")
    hashed = make_password(new)
    with transaction.atomic():
        kept = locked_person(person)
        # check_password may have renewed the hash, which shows on `person`.
        if kept.password not in {seen, person.password}:
            raise Conflict(_("Your password was changed just now. Sign in again."))
        kept.password, kept.must_change_password = hashed, False
        kept.first_password_ends_at = None
        kept.save(update_fields=PASSWORD_FIELDS)
        if kept.studio is not None:
            record(studio=kept.studio, by=kept, action="own password set", subject=kept)
    return kept


def prepare_first_passwords(*, section: Section, by: User) -> list[FirstPassword]:
    """For everybody in the class without an own password: made and hashed, not yet in force."""
    require_class(by, section)
    prepared = []
    for person in without_own_password(section):
        password = first_password()
        prepared.append(FirstPassword(person, password, make_password(password)))
    if not prepared:
        message = _(
            "Everybody in this class has set a password. If somebody forgot theirs, "
            "reset it on that student's page."
        )
        raise Refused(message)
    return prepared


def give_first_passwords(
    *, section: Section, by: User, prepared: Sequence[FirstPassword], at: datetime
) -> None:
    """All cards come into force together, or none: what was printed is what holds."""
    require_class(by, section)
    hashes = {card.person.pk: card.hashed for card in prepared}
    with transaction.atomic():
        people = list(User.objects.select_for_update().filter(pk__in=hashes).order_by("pk"))
        still = {person.pk for person in without_own_password(section)}
        if set(hashes) != still:
            raise Conflict(_("Somebody set a password or moved just now. Print the cards again."))
        for person in people:
            _set_first(person, hashes[person.pk], at)
        User.objects.bulk_update(people, PASSWORD_FIELDS)
        record(
            studio=section.studio,
            by=by,
            action="sign-in cards printed",
            subject=section,
            after={"people": sorted(str(pk) for pk in hashes)},
        )


def _set_first(person: User, hashed: str, at: datetime) -> None:
    person.password, person.must_change_password = hashed, True
    person.first_password_ends_at = end_of_first_password(at)
