"""Scanned sheets of a class: one scan that was read, with pages of each state, one being read."""

from collections.abc import Mapping
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from planning.models import Piece, Scan, ScanPage, Sheet
from studio.uploads.models import StoredImage
from tests.cast import NOW, School
from tests.planning.work import photo


def things(cast: School, made: Mapping[str, str]) -> dict[str, Any]:
    """Rows as reading leaves them: most tests of pages need no scan read."""
    piece = Piece.objects.get(pk=made["piece"])
    read = _scan(cast, piece, Scan.State.READ, pages=5)
    sheet = Sheet.objects.get(pk=made["sheet"])
    read.read_pages.create(number=1, state=ScanPage.State.SHEET, piece=piece, sheet=sheet)
    away, waiting = ScanPage.State.AWAY, ScanPage.State.WAITING
    page = read.read_pages.create(
        number=2, state=waiting, why=ScanPage.Why.NO_CODE, image=_picture(cast, read, 2)
    )
    read.read_pages.create(
        number=3,
        state=waiting,
        why=ScanPage.Why.LEFT,
        piece=piece,
        image=_picture(cast, read, 3),
    )
    read.read_pages.create(number=4, state=waiting, why=ScanPage.Why.TOO_LONG)
    read.read_pages.create(number=5, state=away, why=ScanPage.Why.UNKNOWN)
    waiting_file = default_storage.save("quarantine/scan", ContentFile(b"%PDF-1.7"))
    _scan(cast, piece, Scan.State.RECEIVED, pages=30, quarantine_file=waiting_file)
    return {"scan": read, "scan_page": page}


def _scan(cast: School, piece: Piece, state: str, pages: int, quarantine_file: str = "") -> Scan:
    return Scan.objects.create(
        assignment_id=piece.assignment_id,
        by=cast.teacher,
        created_at=NOW,
        state=state,
        original_name="period-3.pdf",
        original_sha256=state,
        stem=f"stem-of-{state}",
        pages=pages,
        quarantine_file=quarantine_file,
    )


def _picture(cast: School, scan: Scan, number: int) -> StoredImage:
    stem = f"{scan.stem}-{number}"
    full, small = (
        default_storage.save(f"images/{stem}-{size}.jpg", ContentFile(photo(number).read()))
        for size in ("full", "small")
    )
    return StoredImage.objects.create(
        studio=cast.studio,
        by=cast.teacher,
        created_at=NOW,
        state=StoredImage.State.READY,
        original_name="",
        original_bytes=0,
        original_sha256="",
        quarantine_file="",
        stem=stem,
        full_file=full,
        small_file=small,
        width=24,
        height=24,
    )
