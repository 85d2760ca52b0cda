"""Photos of sheets with several drawings, and pieces that have one."""

from collections.abc import Sequence
from functools import cache

import cv2
import numpy as np
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile

from planning.models import Piece, Sheet, Thumbnail
from planning.services.sheets import add_sheet, take_sheet
from studio.jobs.models import Job
from studio.jobs.tasks import run_job
from studio.people.models import User
from studio.uploads.models import StoredImage
from tests.cast import NOW
from tests.planning.splitting import sheets as generated
from tests.planning.work import photo

WIDE, HIGH = 600, 800
BOXES = [[20, 20, 160, 200], [220, 30, 150, 180], [420, 20, 160, 200], [30, 300, 200, 240]]
"""On a picture of WIDE × HIGH pixels, in the order of reading; between them is paper."""


@cache
def photographed(seed: int = 4, count: int = 4) -> generated.Sheet:
    """A plain sheet of paper with so many drawings, photographed by hand."""
    return generated.sheet(seed, "plain", count=count)


def file_of(sheet: generated.Sheet) -> SimpleUploadedFile:
    _, data = cv2.imencode(".jpg", sheet.picture)
    return SimpleUploadedFile("sheet.jpg", data.tobytes(), content_type="image/jpeg")


def sent(piece: Piece, shade: int = 90, by: User | None = None) -> Sheet:
    """A file like any other, not read yet where jobs wait on the queue."""
    return add_sheet(piece=piece, by=by or piece.student, file=photo(shade, "sheet.jpg"), at=NOW)


def proposed(sheet: Sheet, boxes: Sequence[Sequence[int]] = BOXES) -> Sheet:
    """As if its photo had been read and taken apart; most tests need no pictures found."""
    _, data = cv2.imencode(".jpg", _paper(tuple(map(tuple, boxes))))
    names = [
        default_storage.save(f"images/{sheet.image.stem}-{size}.jpg", ContentFile(data.tobytes()))
        for size in ("full", "small")
    ]
    StoredImage.objects.filter(pk=sheet.image_id).update(
        state=StoredImage.State.READY,
        full_file=names[0],
        small_file=names[1],
        width=WIDE,
        height=HIGH,
    )
    Sheet.objects.filter(pk=sheet.pk).update(
        boxes=[list(box) for box in boxes], found=Sheet.Found.SEVERAL, edition=1
    )
    return Sheet.objects.select_related("image", "piece").get(pk=sheet.pk)


@cache
def _paper(boxes: tuple[tuple[int, ...], ...]) -> "cv2.typing.MatLike":
    paper = np.full((HIGH, WIDE, 3), 235, np.uint8)
    for x, y, wide, high in boxes:
        middle, half = (x + wide // 2, y + high // 2), (wide // 3, high // 3)
        cv2.ellipse(paper, middle, half, 0, 0, 360, (60, 60, 60), 3)
    return paper


def now(sheet: Sheet) -> Sheet:
    return Sheet.objects.select_related("image", "piece").get(pk=sheet.pk)


def run_one(kind: str) -> None:
    run_job.call(str(Job.objects.filter(kind=kind, state=Job.State.WAITING).get().pk))


def take(sheet: Sheet, by: User | None = None) -> list[Thumbnail]:
    return take_sheet(sheet=sheet, by=by or sheet.piece.student, edition=sheet.edition, at=NOW)
