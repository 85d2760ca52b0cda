"""Receiving a picture, having it read, and letting it go."""

import secrets
import unicodedata
from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import datetime, timedelta
from uuid import UUID

from django.core.files.base import File
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone

from studio.errors import Refused
from studio.jobs.kinds import Kind
from studio.jobs.models import Job
from studio.jobs.services import ask_for
from studio.jobs.tasks import MAX_ATTEMPTS
from studio.jobs.work import Work
from studio.people.models import Studio, User

from .kinds import HEAD_BYTES, MAX_BYTES, kind_of
from .models import StoredImage
from .quarantine import QUARANTINE, in_quarantine
from .reading import Picture, Unreadable, picture_read
from .refusals import sentence

QUARANTINE_KEPT = timedelta(days=1)


def receive_image(
    *,
    studio: Studio,
    by: User,
    file: File[bytes],
    at: datetime,
    field: str = "",
    attach: Callable[[StoredImage], object] | None = None,
    then: str = "",
) -> StoredImage:
    """Take a file into quarantine and ask for it to be read; ready or refused comes later.

    What can be seen without opening it is refused at once, at `field`. `attach` writes the row
    that owns the image, in the same transaction: there is never one without the other. `then` is
    a kind of job to be done to the image once it is ready.
    """
    check_at_sight(file, field=field)
    with in_quarantine(file) as original, transaction.atomic():
        image = StoredImage.objects.create(
            studio=studio,
            by=by,
            created_at=at,
            original_name=cleaned_name(file.name),
            original_bytes=original.length,
            original_sha256=original.sha256,
            quarantine_file=original.name,
            stem=secrets.token_hex(20),
            then=then,
        )
        if attach is not None:
            attach(image)
        ask_for(
            kind="read_image",
            studio=studio,
            by=by,
            subjects=[image.pk],
            unique_key=str(image.pk),
            at=at,
        )
    return image


def check_at_sight(file: File[bytes], *, field: str = "") -> None:
    """Raises `Refused` for what can be seen to be no picture of ours without opening it."""
    if code := refusal_at_sight(file):
        raise Refused(sentence(code, {}), field=field)


def refusal_at_sight(file: File[bytes]) -> str:
    """The code of what speaks against a file before it is opened; empty if nothing does."""
    if not file.size:
        return "empty"
    if file.size > MAX_BYTES:
        return "too_large"
    file.seek(0)
    head = file.read(HEAD_BYTES)
    file.seek(0)
    return "" if kind_of(head) else "kind"


def cleaned_name(name: str | None) -> str:
    """A file's name fit to show: no folders, nothing invisible, not too long."""
    base = (name or "").replace("\\", "/").rsplit("/", 1)[-1]
    seen = "".join(c for c in base if unicodedata.category(c)[0] != "C")
    return unicodedata.normalize("NFC", seen).strip()[:120] or "picture"


def read_image(work: Work) -> None:
    """Write the picture anew, outside any transaction, then let the original go."""
    # Erased while it was being read: what was written is deleted again, and nothing is left to do.
    with suppress(StoredImage.DoesNotExist):
        _read(work)


def _read(work: Work) -> None:
    image = StoredImage.objects.filter(
        pk__in=work.job.subjects, state=StoredImage.State.RECEIVED
    ).first()
    if image is None:  # erased meanwhile
        return
    try:
        original = default_storage.open(image.quarantine_file)
    except FileNotFoundError:
        with work.finishing():
            refuse_image(image.pk, "waited", {})
        return
    try:
        with original, picture_read(original.chunks()) as picture:
            _keep(work, image, picture)
    except Unreadable as reason:
        with work.finishing():
            refuse_image(image.pk, reason.code, reason.values)


def _keep(work: Work, image: StoredImage, picture: Picture) -> None:
    full, small = names = file_names(image.stem, work.attempt)
    try:
        default_storage.save(full, File(picture.full))
        default_storage.save(small, File(picture.small))
        with work.finishing():
            make_ready(StoredImage.objects.select_for_update().get(pk=image.pk), names, picture)
    except BaseException:
        for name in names:
            default_storage.delete(name)
        raise


def make_ready(image: StoredImage, names: tuple[str, str], picture: Picture) -> None:
    """Its files are written; what follows it is asked for. The row is held by the caller."""
    image.state = StoredImage.State.READY
    image.full_file, image.small_file = names
    image.width, image.height = picture.width, picture.height
    image.focal_35mm = picture.focal_35mm
    image.save()
    _delete_after_commit(image, keep=names)
    if image.then:
        ask_for(
            kind=image.then,
            studio=image.studio,
            by=image.by,
            subjects=[image.pk],
            unique_key=str(image.pk),
            at=timezone.now(),
        )


def file_names(stem: str, attempt: int) -> tuple[str, str]:
    """The full and the small file that an attempt writes."""
    start = f"images/{stem[:2]}/{stem}-{attempt}"
    return f"{start}.jpg", f"{start}-small.jpg"


def refuse_image(image_id: UUID | str, code: str, values: dict[str, object]) -> None:
    """It is not taken; `code` says why, as `refusals` puts it in words."""
    image = StoredImage.objects.select_for_update().get(pk=image_id)
    image.state = StoredImage.State.REFUSED
    image.refusal_code, image.refusal_values = code, values
    image.save()
    _delete_after_commit(image)


def files_of(image: StoredImage) -> set[str]:
    """Every name in the storage that may ever have been written for this image."""
    names = {image.quarantine_file, image.full_file, image.small_file} - {""}
    for attempt in range(1, MAX_ATTEMPTS + 1):
        names.update(file_names(image.stem, attempt))
    return names


def _delete_after_commit(image: StoredImage, *, keep: Sequence[str] = ()) -> None:
    """Everything in the storage that was ever written for this image, but what is kept."""
    names = files_of(image).difference(keep)

    def delete() -> None:
        for name in names:
            default_storage.delete(name)

    transaction.on_commit(delete)


def _gave_up(job: Job) -> None:
    for image in StoredImage.objects.filter(pk__in=job.subjects, state=StoredImage.State.RECEIVED):
        refuse_image(image.pk, "gave_up", {})


READ_IMAGE = Kind(run=read_image, give_up=_gave_up)


def erase_image(*, image: StoredImage) -> None:
    """Delete the row, and its files once that is certain. Whoever owns the image asks."""
    with transaction.atomic():
        _delete_after_commit(image)
        image.delete()


def clear_quarantine(*, at: datetime) -> None:
    """Delete every original that has lain in quarantine for more than a day."""
    try:
        _folders, files = default_storage.listdir(QUARANTINE)
    except FileNotFoundError:  # nothing was ever received
        return
    for file in files:
        name = f"{QUARANTINE}/{file}"
        if default_storage.get_modified_time(name) < at - QUARANTINE_KEPT:
            default_storage.delete(name)
