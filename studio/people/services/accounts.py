"""Studios and the people in them."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.contrib.auth.hashers import make_password
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction
from django.db.models.functions import Lower
from django.utils.translation import gettext as _

from studio.errors import Conflict, Problem, Refused
from studio.people.access import require_head
from studio.people.audit import record
from studio.people.first_passwords import end_of_first_password, first_password
from studio.people.models import Role, Studio, User
from studio.people.names import sign_in_name, sign_in_name_from, tidy, unique_name

from .checking import check_fields, check_names_free, locked_person, locked_studio

SETTINGS = ("name", "time_zone", "length_unit", "mass_unit", "paper", "retention_years")
SHOWN = ("given_name", "family_name", "username", "sourced_id")


@dataclass(frozen=True)
class NewAccount:
    """A person, and the first password to hand over: shown once, never kept."""

    person: User
    first_password: str | None


def create_studio(
    *,
    name: str,
    slug: str,
    head_given_name: str,
    head_family_name: str = "",
    head_username: str = "",
    password: str | None = None,
    at: datetime,
    **settings: Any,
) -> NewAccount:
    """A studio with its head. Without a password the head gets a first one.

    `settings` are the columns of a studio that a head may change: time_zone, units, paper …
    """
    studio = Studio(name=tidy(name), slug=slug.strip().lower(), **settings)
    check_fields(studio)
    head = _person(studio, Role.HEAD, head_given_name, head_family_name)
    head.username = sign_in_name(head_username) or sign_in_name_from(
        head.given_name, head.family_name
    )
    given = _give_password(head, password, at)
    with transaction.atomic():
        if Studio.objects.filter(slug=studio.slug).exists():
            message = _("The short name “%(slug)s” is taken. Choose another.")
            raise Refused(message % {"slug": studio.slug}, field="slug")
        studio.save(force_insert=True)
        check_fields(head)
        check_names_free(head)
        head.save(force_insert=True)
        record(
            studio=studio,
            by=None,
            action="studio made",
            subject=studio,
            after={"name": studio.name, "head": str(head.pk)},
        )
    return NewAccount(head, given)


def create_person(
    *,
    studio: Studio,
    by: User,
    role: str,
    given_name: str,
    family_name: str = "",
    username: str = "",
    sourced_id: str = "",
    password: str | None = None,
    at: datetime,
) -> NewAccount:
    """An account. Only a head makes staff, who get a first password; students get theirs by card.

    A given password is one that the person already knows, so nothing is handed over.
    """
    if role == Role.STUDENT:
        if not by.teaches or by.studio_id != studio.pk:
            raise PermissionDenied
    else:
        require_head(by, studio)
    person = _person(studio, role, given_name, family_name)
    person.username, person.sourced_id = sign_in_name(username), tidy(sourced_id)
    given = None
    if role == Role.STUDENT and password is None:
        person.set_unusable_password()
    else:
        given = _give_password(person, password, at)
    with transaction.atomic():
        locked_studio(studio)
        if not person.username:
            wanted = sign_in_name_from(person.given_name, person.family_name)
            person.username = unique_name(wanted, _names_taken(studio))
        check_fields(person)
        check_names_free(person)
        person.save(force_insert=True)
        after = {"role": role} | {field: getattr(person, field) for field in SHOWN}
        record(studio=studio, by=by, action="person made", subject=person, after=after)
    return NewAccount(person, given)


def edit_person(
    *,
    person: User,
    by: User,
    given_name: str,
    family_name: str,
    username: str,
    sourced_id: str,
) -> User:
    """A head corrects names and the roster id."""
    with transaction.atomic():
        kept = locked_person(person)
        if kept.studio is None:
            raise PermissionDenied
        require_head(by, kept.studio)
        locked_studio(kept.studio)
        before = {field: getattr(kept, field) for field in SHOWN}
        kept.given_name, kept.family_name = tidy(given_name), tidy(family_name)
        kept.username, kept.sourced_id = sign_in_name(username), tidy(sourced_id)
        check_fields(kept)
        check_names_free(kept)
        after = {field: getattr(kept, field) for field in SHOWN}
        if after != before:
            kept.save(update_fields=SHOWN)
            record(
                studio=kept.studio,
                by=by,
                action="person edited",
                subject=kept,
                before=before,
                after=after,
            )
    return kept


def let_sign_in(*, person: User, by: User, allowed: bool) -> User:
    """A head closes an account, or opens it again. Nobody closes their own."""
    with transaction.atomic():
        kept = locked_person(person)
        if kept.studio is None:
            raise PermissionDenied
        require_head(by, kept.studio)
        if kept.pk == by.pk:
            raise Refused(_("You can't close your own account. Ask another head."))
        if kept.is_active != allowed:
            kept.is_active = allowed
            kept.save(update_fields=["is_active"])
            record(
                studio=kept.studio,
                by=by,
                action="account opened" if allowed else "account closed",
                subject=kept,
                before={"is_active": not allowed},
                after={"is_active": allowed},
            )
    return kept


def set_settings(*, studio: Studio, by: User, **changed: Any) -> Studio:
    """A head changes the studio's name, units, time zone, paper and retention."""
    require_head(by, studio)
    if set(changed) - set(SETTINGS):
        raise Conflict(_("These are not settings of a studio."))
    with transaction.atomic():
        kept = locked_studio(studio)
        before = {field: getattr(kept, field) for field in changed}
        for field, value in changed.items():
            setattr(kept, field, value)
        kept.name = tidy(kept.name)
        check_fields(kept)
        after = {field: getattr(kept, field) for field in changed}
        if after != before:
            kept.save(update_fields=list(changed))
            record(
                studio=kept,
                by=by,
                action="settings changed",
                subject=kept,
                before=before,
                after=after,
            )
    return kept


def _person(studio: Studio, role: str, given_name: str, family_name: str) -> User:
    given, family = tidy(given_name), tidy(family_name)
    if not given and not family:
        raise Refused(_("Type a name."), field="given_name")
    return User(studio=studio, role=role, given_name=given, family_name=family)


def _give_password(person: User, password: str | None, at: datetime) -> str | None:
    """Set the known password, or make a first one and answer it. Hashes: outside transactions."""
    if password is None:
        given = first_password()
        person.password = make_password(given)
        person.must_change_password = True
        person.first_password_ends_at = end_of_first_password(at)
        return given
    check_password_is_good(password, person)
    person.password = make_password(password)
    return None


def check_password_is_good(password: str, person: User, field: str = "password") -> None:
    try:
        validate_password(password, person)
    except ValidationError as wrong:
        raise Refused.all_of(Problem(message, field) for message in wrong.messages) from None


def _names_taken(studio: Studio) -> set[str]:
    people = User.objects.filter(studio=studio).annotate(low=Lower("username"))
    return set(people.values_list("low", flat=True))
