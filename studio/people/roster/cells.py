"""Single cells, read strictly: each function answers a value or raises ValueError with why."""

from datetime import UTC, date, datetime

from django.utils.translation import gettext as _

from studio.people.names import is_sign_in_name, sign_in_name, tidy

LONGEST_ID = 255
LONGEST_NAME = 80


def id_cell(text: str, column: str) -> str:
    found = tidy(text)
    if not found:
        raise ValueError(_("“%(column)s” is empty.") % {"column": column})
    if len(found) > LONGEST_ID:
        message = _("“%(column)s” is longer than %(most)s characters.")
        raise ValueError(message % {"column": column, "most": LONGEST_ID})
    return found


def text_cell(text: str, column: str, most: int = LONGEST_NAME) -> str:
    found = tidy(text)
    if len(found) > most:
        message = _("“%(column)s” is longer than %(most)s characters.")
        raise ValueError(message % {"column": column, "most": most})
    return found


def sign_in_cell(text: str, column: str) -> str:
    found = sign_in_name(text)
    if found and not is_sign_in_name(found):
        message = _(
            "“%(value)s” can't be a sign-in name: letters, digits and . @ + - _ only, no spaces."
        )
        raise ValueError(message % {"value": tidy(text)[:40]})
    return found


def date_cell(text: str, column: str) -> date | None:
    if not text:
        return None
    try:
        return date.fromisoformat(text[:10])
    except ValueError:
        message = _("“%(column)s” is “%(value)s”. Write it as 2026-09-01.")
        raise ValueError(message % {"column": column, "value": tidy(text)[:40]}) from None


def moment_cell(text: str) -> datetime | None:
    """When a row was changed last; None where that can't be read, which costs no row."""
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        return None
    return found.replace(tzinfo=UTC) if found.tzinfo is None else found.astimezone(UTC)


def status_cell(text: str) -> bool:
    """Whether the row is to be deleted."""
    match text.lower():
        case "" | "active":
            return False
        case "tobedeleted" | "inactive":
            return True
    message = _("The status is “%(value)s”. It may be empty, active or tobedeleted.")
    raise ValueError(message % {"value": tidy(text)[:40]})
