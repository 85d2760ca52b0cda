"""What was read of drawings is kept in back-ups to the bit, and gone with its student."""

import json
from collections.abc import Iterator
from functools import partial
from typing import Any

import pytest
from django.db import connection
from django.db.models import Model
from pytest_django import DjangoCaptureOnCommitCallbacks

from planning.models import DrawnForm, IdeaChange, Ideas, Steps
from planning.services.ideas_by_hand import change_ideas, undo_change
from studio.keeping.archive import line_of
from studio.keeping.services import erase_person
from studio.keeping.tables import _reader, rows_of, write_rows
from tests.cast import NOW, School
from tests.planning.drawings import as_compared, ideas_of
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
    brought_back(DrawnForm)
    form = DrawnForm.objects.get()
    assert (bytes(form.form), bytes(form.strokes)) == (BYTES, BYTES[::-1])


@pytest.mark.parametrize("model", [IdeaChange, Ideas, Steps])
def test_a_teachers_word_and_what_came_of_it_are_the_same_after_a_back_up(
    cast: School, model: type[Model]
) -> None:
    piece = a_piece(cast)
    ids = [str(each.pk) for each in draw(cast, piece)]
    as_compared(piece, 6)
    join = partial(change_ideas, piece=piece, kind=IdeaChange.Kind.JOIN, by=cast.teacher, at=NOW)
    undone = join(thumbnails=ids[:2], reason="One jug")
    join(thumbnails=ids[2:4], reason="One bowl – Ødes")
    undo_change(change=undone, by=cast.head, at=NOW)
    Steps.objects.create(
        piece=piece,
        of={"chosen": ids[0]},
        answer={"alike": [0.1, None]},
        version=1,
        computed_at=NOW,
    )
    before = list(model._base_manager.order_by("pk").values())
    assert before
    brought_back(model)
    assert list(model._base_manager.order_by("pk").values()) == before
    assert ideas_of(piece).most == 5


def brought_back(model: type[Model]) -> None:
    """Its rows as a back-up writes them, deleted, and as a restore reads them."""
    fields = {field.attname: field for field in model._meta.local_concrete_fields}
    names, *rows = [json.loads(line_of(row)) for row in rows_of(model)]
    model._base_manager.all().delete()

    def again() -> Iterator[list[Any]]:
        yield names
        for row in rows:
            yield [_reader(fields[name])(value) for name, value in zip(names, row, strict=True)]

    assert write_rows(connection, model, again()) == len(rows)


def test_erasing_a_student_deletes_what_was_read_and_compared(
    cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    kept(cast)
    with django_capture_on_commit_callbacks(execute=True):
        erase_person(person=cast.student, by=cast.head, at=NOW)
    assert (DrawnForm.objects.count(), Ideas.objects.count()) == (0, 0)
