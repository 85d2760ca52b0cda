"""A database that somebody else holds for longer than we wait: said in a sentence, not as a 500."""

from django.db import OperationalError
from django.utils.translation import gettext as _

# SQLite has one write at a time; PostgreSQL says it of a lock timeout or a deadlock.
_HELD = ("database is locked", "lock timeout", "deadlock detected")


def is_busy(exception: Exception) -> bool:
    """Whether nothing was written because another write held the database."""
    return isinstance(exception, OperationalError) and any(
        words in str(exception) for words in _HELD
    )


def busy_sentence() -> str:
    return _("Something large is being written just now. Nothing was changed; try again soon.")
