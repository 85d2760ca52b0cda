"""What the services of people share: locks, and Django's field checks as refusals."""

from collections.abc import Collection, Iterator

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext as _

from studio.errors import Problem, Refused
from studio.people.models import Studio, User
from studio.people.names import is_sign_in_name


def locked_studio(studio: Studio) -> Studio:
    """Its people change one after the other, so that names can be checked before writing."""
    return Studio.objects.select_for_update(no_key=True).get(pk=studio.pk)


def locked_person(person: User) -> User:
    return User.objects.select_for_update(of=("self",)).select_related("studio").get(pk=person.pk)


def check_fields(row: models.Model, *, but: Collection[str] = ()) -> None:
    """Each field by itself: length, choices, required. Raises `Refused` at those fields."""
    try:
        row.clean_fields(exclude=set(but))
    except ValidationError as wrong:
        raise Refused.all_of(
            Problem(" ".join(messages), field) for field, messages in wrong.message_dict.items()
        ) from None
    if problems := list(_long_texts(row)):
        raise Refused.all_of(problems)


def _long_texts(row: models.Model) -> Iterator[Problem]:
    """Django leaves the length of a TextField to forms; a text may come from elsewhere."""
    for field in row._meta.concrete_fields:
        most = field.max_length
        if isinstance(field, models.TextField) and most and len(getattr(row, field.attname)) > most:
            message = _("This is too long. Shorten it to %(most)s characters.") % {"most": most}
            yield Problem(message, field.name)


def check_names_free(person: User) -> None:
    """Its sign-in name and roster id are nobody else's in the studio. Hold the studio's lock."""
    others = User.objects.filter(studio=person.studio).exclude(pk=person.pk)
    if not is_sign_in_name(person.username):
        message = _("A sign-in name has letters, digits and . @ + - _ only, and no spaces.")
        raise Refused(message, field="username")
    if others.filter(username__iexact=person.username).exists():
        message = _("“%(name)s” is taken in this studio. Choose another sign-in name.")
        raise Refused(message % {"name": person.username}, field="username")
    if person.sourced_id and others.filter(sourced_id=person.sourced_id).exists():
        message = _("Somebody else has this roster id. Look it up again.")
        raise Refused(message, field="sourced_id")
