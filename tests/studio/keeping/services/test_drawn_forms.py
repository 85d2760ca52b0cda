"""What was read of drawings is kept in back-ups to the bit, and gone with its student."""

import json
from collections.abc import Iterator
from typing import Any

import pytest
from django.db import connection
from pytest_django import DjangoCaptureOnCommitCallbacks

from planning.models import DrawnForm, Ideas
from studio.keeping.archive import line_of
from studio.keeping.services import erase_person
from studio.keeping.tables import _reader, rows_of, write_rows
from tests.cast import NOW, School
from tests.planning.drawings import as_compared
from tests.planning.work import a_piece, draw

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]
BYTES = bytes(range(256))


def kept(cast: School) -> DrawnForm:
    piece = a_piece(cast)
    (drawing,) = draw(cast, piece, 1)
    as_compared(piece, 1)
    return DrawnForm.objects.create(image=drawing.image, version=1, form=BYTES, strokes=BYTES[::-1])


def test_its_bytes_are_the_same_after_a_back_up(cast: School) -> None:
    kept(cast)
    fields = {field.attname: field for field in DrawnForm._meta.local_concrete_fields}
    names, *rows = [json.loads(line_of(row)) for row in rows_of(DrawnForm)]
    DrawnForm.objects.all().delete()

    def again() -> Iterator[list[Any]]:
        yield names
        for row in rows:
            yield [_reader(fields[name])(value) for name, value in zip(names, row, strict=True)]

    assert write_rows(connection, DrawnForm, again()) == 1
    form = DrawnForm.objects.get()
    assert (bytes(form.form), bytes(form.strokes)) == (BYTES, BYTES[::-1])


def test_erasing_a_student_deletes_what_was_read_and_compared(
    cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    kept(cast)
    with django_capture_on_commit_callbacks(execute=True):
        erase_person(person=cast.student, by=cast.head, at=NOW)
    assert (DrawnForm.objects.count(), Ideas.objects.count()) == (0, 0)
