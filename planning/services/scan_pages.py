"""Pages of a scan that wait for somebody: given to a student, or put away."""

from datetime import datetime

from django.core.files.storage import default_storage
from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import Piece, Scan, ScanPage
from planning.photos.scans import Top, turned
from studio.errors import Conflict
from studio.people.access import require_class
from studio.people.audit import record
from studio.people.models import User
from studio.uploads.models import StoredImage
from studio.uploads.services import erase_image

from .scans import page_name
from .sheets import add_sheet


def give_page(
    *, page: ScanPage, piece: Piece, by: User, at: datetime, top: Top = "top"
) -> ScanPage:
    """Say whose a page is: it becomes a sheet of that piece. `top` says where its top is now.

    Raises `Refused` where the piece takes no more sheets, `Conflict` where the page is gone.
    """
    require_class(by, page.scan.assignment.section)
    # Turned outside the transaction; the file is written once, so what was read is what it is.
    image = page.image_id and StoredImage.objects.filter(pk=page.image_id).first()
    if not image:
        raise _gone()
    try:
        with default_storage.open(image.full_file) as kept:
            file = turned(kept, top, page_name(page))
    except FileNotFoundError:
        raise _gone() from None
    with transaction.atomic():
        held = _waiting(page)
        sheet = add_sheet(piece=piece, by=by, file=file, at=at)
        _settle(held, by, "scanned page given", piece=piece, sheet=sheet)
    return held


def put_page_away(*, page: ScanPage, by: User) -> None:
    """It is nobody's, or not wanted: its picture goes."""
    require_class(by, page.scan.assignment.section)
    with transaction.atomic():
        _settle(_waiting(page), by, "scanned page put away", state=ScanPage.State.AWAY)


def _waiting(page: ScanPage) -> ScanPage:
    """The page as it stands, its scan held: its piece is held after that, so that who erases a
    student, and holds only pieces, never waits for whom they keep waiting."""
    list(Scan.objects.select_for_update(of=("self",)).filter(pk=page.scan_id).values_list("pk"))
    related = ScanPage.objects.waiting().select_related(
        "image", "scan__assignment__section__studio"
    )
    held = related.filter(pk=page.pk).first()
    if held is None:
        raise _gone()
    return held


def _settle(page: ScanPage, by: User, action: str, **changes: object) -> None:
    changes = {"state": ScanPage.State.SHEET, "image": None, **changes}
    if not ScanPage.objects.filter(pk=page.pk).update(**changes):
        raise _gone()  # erased with its student while we waited for the piece
    if page.image is not None:
        erase_image(image=page.image)
    for name, value in changes.items():
        setattr(page, name, value)
    record(
        studio=page.scan.assignment.section.studio,
        by=by,
        action=action,
        subject=page,
        after={"page": page.number},
    )


def _gone() -> Conflict:
    return Conflict(_("This page does not wait any more, perhaps because of another window."))
