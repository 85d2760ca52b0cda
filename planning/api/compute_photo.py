"""What the compute calls that read one photo have in common."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.core.files.base import File
from rest_framework.request import Request

from studio.errors import Refused
from studio.people.access import person_of
from studio.uploads.reading import Unreadable
from studio.uploads.refusals import sentence
from studio.uploads.services import check_at_sight
from studio.web.slots import Slots


@contextmanager
def one_photo(request: Request, slots: Slots, photo: File[bytes], *, field: str) -> Iterator[None]:
    """Within it a photo is read, one of so many at once; what can't be taken is told at its field.

    Raises `Refused`, and `Full` when no slot is free.
    """
    check_at_sight(photo, field=field)
    with slots.taken_by(person_of(request).pk):
        try:
            yield
        except Unreadable as unread:
            raise Refused(sentence(unread.code, unread.values), field=field) from None
