"""Pictures that a job of ours makes from another one that is kept, such as a part cut out of it."""

import secrets
from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from datetime import datetime
from uuid import UUID

from django.core.files.base import File
from django.core.files.storage import default_storage

from studio.jobs.work import Work
from studio.people.models import User

from .models import StoredImage
from .reading import Picture
from .services import file_names, make_ready


def awaited_image(
    *, of: StoredImage, by: User, name: str, sha256: str, at: datetime, then: str = ""
) -> StoredImage:
    """The row of a picture that a job makes of another; it has no original of its own.

    `sha256` says what it is made of. `then` as in `receive_image`.
    """
    return StoredImage.objects.create(
        studio=of.studio,
        by=by,
        created_at=at,
        original_name=name,
        original_bytes=0,
        original_sha256=sha256,
        quarantine_file="",
        stem=secrets.token_hex(20),
        then=then,
    )


def keep_made(work: Work, images: Sequence[StoredImage], pictures: Sequence[Picture]) -> None:
    """Write the files of all of them, then finish the job with all of them ready.

    Those that were erased meanwhile leave no files.
    """
    names = {each.pk: file_names(each.stem, work.attempt) for each in images}
    with ExitStack() as undo:
        for image, picture in zip(images, pictures, strict=True):
            for name, file in zip(names[image.pk], (picture.full, picture.small), strict=True):
                undo.callback(default_storage.delete, name)
                default_storage.save(name, File(file))
        with work.finishing():
            kept = _all_ready(names, dict(zip(names, pictures, strict=True)))
        undo.pop_all()
    for pk in names.keys() - kept:
        for name in names[pk]:
            default_storage.delete(name)


def _all_ready(
    names: Mapping[UUID, tuple[str, str]], pictures: Mapping[UUID, Picture]
) -> set[UUID]:
    waiting = StoredImage.objects.select_for_update(of=("self",)).select_related("studio", "by")
    # In one order, so that two that hold some of the same rows never wait for each other.
    kept = list(waiting.filter(pk__in=names, state=StoredImage.State.RECEIVED).order_by("pk"))
    for image in kept:
        make_ready(image, names[image.pk], pictures[image.pk])
    return {image.pk for image in kept}
