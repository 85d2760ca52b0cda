"""Scans of a class's thumbnail sheets: received, read page by page, each page brought to its piece.

A page is written down once, by scan and number, in the transaction in which it becomes a sheet; so
an attempt that was killed, or that is overtaken, leaves none out and makes none twice.
"""

import hashlib
import secrets
from datetime import datetime
from typing import IO, Final

from django.core.files.base import File
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from planning.models import Assignment, Piece, Scan, ScanPage, Sheet
from planning.photos.scan_words import scan_sentence
from planning.photos.scans import PageRead, pages_of, scan_opened
from planning.selectors.scans import piece_of_codes
from studio.errors import Conflict, Refused
from studio.jobs.kinds import Kind
from studio.jobs.models import Job
from studio.jobs.services import ask_for
from studio.jobs.work import Work
from studio.people.access import require_class
from studio.people.audit import record
from studio.people.models import User
from studio.uploads.models import StoredImage
from studio.uploads.quarantine import in_quarantine
from studio.uploads.reading import Picture, Unreadable
from studio.uploads.services import cleaned_name, file_names, make_ready, refusal_at_sight

from .assignments import locked_assignment
from .drawings import locked_piece
from .sheets import add_sheet

READ: Final = "read_scan"
AT_ONCE: Final = 5
"""Pages that one process draws: few enough to see it go on, many enough for its start not to
matter."""


def add_scan(*, assignment: Assignment, by: User, file: File[bytes], at: datetime) -> Scan:
    """Take a file with the sheets of a class; they are sorted in the background.

    The same file sent again is refused, as is what can be seen without opening it.
    """
    require_class(by, assignment.section)
    if code := refusal_at_sight(file):
        raise Refused(scan_sentence(code, {}), field="scans")
    with in_quarantine(file) as original, transaction.atomic():
        locked_assignment(assignment)
        same = Scan.objects.filter(assignment=assignment, original_sha256=original.sha256)
        if same.exclude(state=Scan.State.REFUSED).exists():
            raise Refused(_("This scan is here already; it stands below."), field="scans")
        scan = Scan.objects.create(
            assignment=assignment,
            by=by,
            created_at=at,
            original_name=cleaned_name(file.name),
            original_sha256=original.sha256,
            quarantine_file=original.name,
            stem=secrets.token_hex(20),
        )
        studio = assignment.section.studio
        ask_for(
            kind=READ,
            studio=studio,
            by=by,
            subjects=[scan.pk],
            unique_key=str(scan.pk),
            at=at,
        )
        record(studio=studio, by=by, action="scan received", subject=scan)
    return scan


def read_scan(work: Work) -> None:
    """Read what has not been read yet, page by page; then let the file go."""
    related = Scan.objects.select_related("by__studio", "assignment__section__studio")
    scan = related.filter(pk__in=work.job.subjects, state=Scan.State.RECEIVED).first()
    if scan is None:
        return
    try:
        original = default_storage.open(scan.quarantine_file)
    except FileNotFoundError:
        with work.finishing():
            _refuse(scan, "gone", {})
        return
    try:
        with original, scan_opened(original.chunks()) as source:
            _read_all(work, scan, source)
    except Unreadable as reason:
        with work.finishing():
            _refuse(scan, reason.code, reason.values)
        return
    with work.finishing():
        _close(scan, state=Scan.State.READ)


def _read_all(work: Work, scan: Scan, source: IO[bytes]) -> None:
    while numbers := _unread(scan):
        with pages_of(source, numbers) as found:
            if scan.pages is None:
                scan.pages = found.count
                scan.save(update_fields=["pages"])
            for page in found.pages:
                work.progress(100 * (page.number - 1) // found.count)
                _write_down(scan, page, work.attempt)


def _unread(scan: Scan) -> list[int]:
    """The numbers of the next few pages."""
    done = set(scan.read_pages.values_list("number", flat=True))
    last = AT_ONCE if scan.pages is None else scan.pages
    return [number for number in range(1, last + 1) if number not in done][:AT_ONCE]


def _write_down(scan: Scan, page: PageRead, attempt: int) -> None:
    """Bring it to its piece, or keep it with the reason why not; once."""
    files = file_names(f"{scan.stem}-{page.number}", attempt)
    try:
        with transaction.atomic():
            held = Scan.objects.select_for_update(of=("self",)).filter(pk=scan.pk)
            if not held.exists() or scan.read_pages.filter(number=page.number).exists():
                return
            row = ScanPage(scan=scan, number=page.number, state=ScanPage.State.WAITING)
            _sort(row, page, scan.by)
            if row.state == ScanPage.State.WAITING and page.picture is not None:
                row.image = _kept(scan, page.picture, page.number, files)
            row.save()
    except BaseException:
        for name in files:
            default_storage.delete(name)
        raise


def _sort(row: ScanPage, page: PageRead, by: User) -> None:
    """Say of a page where it belongs, and bring it there if it can be."""
    if page.picture is None:
        row.why = page.refused
        return
    row.piece, row.why = piece_of_codes(page.codes, by)
    if row.piece is None:
        return
    try:
        with transaction.atomic():
            locked_piece(row.piece)
            row.why = _left(row.piece)
            if not row.why:
                row.sheet = _sheet_of(row.piece, by, page.picture.full, page_name(row))
                row.state = ScanPage.State.SHEET
    except Conflict:  # its brief was taken back this moment
        row.piece, row.why = None, ScanPage.Why.UNKNOWN
    except Refused as refusal:
        row.why, row.said = ScanPage.Why.REFUSED, str(refusal)[:300]
    if row.why == ScanPage.Why.CLOSED:
        row.state = ScanPage.State.AWAY


def _left(piece: Piece) -> str:
    """Asked while the piece is held, since whoever erases a student holds it too."""
    if Piece.objects.filter(pk=piece.pk).of_enrolled().exists():
        return ""
    active = User.objects.filter(pk=piece.student_id, is_active=True).exists()
    return ScanPage.Why.LEFT if active else ScanPage.Why.CLOSED


def page_name(page: ScanPage) -> str:
    """What a page is called where files have names."""
    stem = page.scan.original_name.rsplit(".", 1)[0][:90]
    return _("%(file)s, page %(number)d") % {"file": stem, "number": page.number} + ".jpg"


def _sheet_of(piece: Piece, by: User, file: IO[bytes], name: str) -> Sheet:
    """The sheet that the picture becomes; the one that it is already, if it came before."""
    content = file.read()
    digest = hashlib.sha256(content).hexdigest()
    here = Sheet.objects.filter(piece=piece, image__original_sha256=digest)
    if twin := here.exclude(image__state=StoredImage.State.REFUSED).first():
        return twin
    file.seek(0)
    return add_sheet(piece=piece, by=by, file=File(file, name=name), at=timezone.now())


def _kept(scan: Scan, picture: Picture, number: int, files: tuple[str, str]) -> StoredImage:
    """The picture of a page that waits for somebody."""
    for name, file in zip(files, (picture.full, picture.small), strict=True):
        default_storage.save(name, File(file))
    image = StoredImage(
        studio=scan.assignment.section.studio,
        by=scan.by,
        created_at=timezone.now(),
        original_name="",
        original_bytes=0,
        original_sha256="",
        quarantine_file="",
        stem=f"{scan.stem}-{number}",
    )
    make_ready(image, files, picture)
    return image


def _refuse(scan: Scan, code: str, values: dict[str, object]) -> None:
    _close(scan, state=Scan.State.REFUSED, refusal_code=code, refusal_values=values)


def _close(scan: Scan, **changes: object) -> None:
    """Nothing more is read of it; its file goes."""
    file = scan.quarantine_file
    for name, value in {**changes, "quarantine_file": ""}.items():
        setattr(scan, name, value)
    scan.save(update_fields=[*changes, "quarantine_file"])
    states = list(scan.read_pages.values_list("state", flat=True))
    record(
        studio=scan.assignment.section.studio,
        by=scan.by,
        action="scan read",
        subject=scan,
        after={
            "pages": scan.pages,
            "sheets": states.count(ScanPage.State.SHEET),
            "waiting": states.count(ScanPage.State.WAITING),
            "refused": scan.refusal_code,
        },
    )
    transaction.on_commit(lambda: default_storage.delete(file))


def _gave_up(job: Job) -> None:
    related = Scan.objects.select_related("by", "assignment__section__studio")
    for scan in related.filter(pk__in=job.subjects, state=Scan.State.RECEIVED):
        _refuse(scan, "gave_up", {})


READ_SCAN_KIND = Kind(run=read_scan, give_up=_gave_up)
