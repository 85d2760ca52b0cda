"""Photos with several drawings on them: received, taken apart, put right, taken as thumbnails."""

import hashlib
import json
from collections.abc import Sequence
from datetime import datetime
from typing import Final

from django.core.exceptions import PermissionDenied
from django.core.files.base import File
from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import F, Max, QuerySet
from django.utils.translation import gettext as _

from planning.models import Choice, Piece, Sheet, SourceForm, Thumbnail
from planning.photos.cutting import drawings_cut
from planning.photos.sheets import drawings_of_sheet
from planning.splitting.boxes import Box, ordered, with_room, within
from studio.errors import Conflict, Refused
from studio.jobs.kinds import Kind
from studio.jobs.models import Job
from studio.jobs.services import ask_for
from studio.jobs.work import Work
from studio.people.audit import record
from studio.people.models import User
from studio.uploads.made import awaited_image, keep_made
from studio.uploads.models import StoredImage
from studio.uploads.reading import Unreadable
from studio.uploads.services import erase_image, receive_image, refuse_image

from .drawings import MOST_DRAWINGS, check_source_form, locked_piece
from .ideas import READ_FORM

TAKE_APART: Final = "take_sheet_apart"
CUT: Final = "cut_sheet"

MOST_BOXES: Final = 40
MOST_WAITING: Final = 12
"""Sheets of a piece whose drawings have not been taken yet."""


def add_sheet(*, piece: Piece, by: User, file: File[bytes], at: datetime) -> Sheet:
    """One more photo of a sheet, from the student or from a teacher who scans for the class.

    It is taken apart as soon as it was read.
    """
    _require_may(piece, by)
    made: list[Sheet] = []

    def attach(image: StoredImage) -> None:
        _make_room(piece, image)
        made.append(Sheet.objects.create(piece=piece, image=image, added_at=at))

    receive_image(
        studio=piece.studio, by=by, file=file, at=at, field="sheet", attach=attach, then=TAKE_APART
    )
    return made[0]


def _require_may(piece: Piece, by: User) -> None:
    mine = Piece.objects.drawn_by(by) | Piece.objects.taught_by(by)
    if not mine.filter(pk=piece.pk).exists():
        raise PermissionDenied


def _make_room(piece: Piece, image: StoredImage) -> None:
    locked_piece(piece)
    here = Sheet.objects.filter(piece=piece)
    # One that could not be read doesn't count: the same file may be read the next time.
    twins = here.filter(image__original_sha256=image.original_sha256).exclude(
        image__state=StoredImage.State.REFUSED
    )
    if twin := twins.first():
        message = _("This photo is here already.")
        if twin.taken_at is not None:
            message = _(
                "The drawings of this photo are among the thumbnails already. If one was cut "
                "badly, withdraw it there and photograph that drawing by itself."
            )
        raise Refused(message, field="sheet")
    if here.waiting().count() >= MOST_WAITING:
        message = _("%(most)d sheets wait here. Take their drawings first, or put some away.")
        raise Refused(message % {"most": MOST_WAITING}, field="sheet")
    if _room_for(piece) <= 0:
        message = _("A piece holds at most %(most)d drawings, withdrawn ones included.")
        raise Refused(message % {"most": MOST_DRAWINGS}, field="sheet")


def _room_for(piece: Piece) -> int:
    return MOST_DRAWINGS - Thumbnail.objects.filter(piece=piece).count()


def set_boxes(*, sheet: Sheet, boxes: Sequence[Sequence[float]], edition: int, by: User) -> Sheet:
    """Put right where the drawings are, knowing the boxes of this edition.

    They are laid inside the picture and in the order of reading.
    """
    _require_may(sheet.piece, by)
    if len(boxes) > MOST_BOXES:
        message = _("A sheet holds at most %(most)d drawings. Photograph it in two parts.")
        raise Refused(message % {"most": MOST_BOXES}, field="boxes")
    with transaction.atomic():
        kept = _waiting_sheet(sheet)
        _check_edition(kept, edition)
        wide, high = kept.image.width or 1, kept.image.height or 1
        placed = ordered([within(box, wide, high) for box in boxes])
        if placed != kept.boxes:
            kept.boxes, kept.edition = placed, kept.edition + 1
            kept.save(update_fields=["boxes", "edition"])
    return kept


def take_sheet(
    *,
    sheet: Sheet,
    by: User,
    edition: int,
    at: datetime,
    source_form: SourceForm | None = None,
) -> list[Thumbnail]:
    """Each box becomes a thumbnail, after those that stand; its picture is cut out later.

    `source_form` is said of all of them, and of each it can be changed. Taken once: asked again,
    the same thumbnails come back as they are.
    """
    _require_may(sheet.piece, by)
    if source_form is not None:
        check_source_form(source_form, sheet.piece)
    with transaction.atomic():
        kept = locked_sheet(sheet)
        if kept.taken_at is not None:
            return list(kept.thumbnails.order_by("position"))
        _check_proposed(kept)
        _check_edition(kept, edition)
        _check_room(kept)
        kept.taken_at = at
        kept.save(update_fields=["taken_at"])
        made = _thumbnails_of(kept, source_form, at)
        ask_for(
            kind=CUT,
            studio=kept.piece.studio,
            by=by,
            subjects=[kept.pk],
            unique_key=str(kept.pk),
            at=at,
        )
        record(
            studio=kept.piece.studio,
            by=by,
            action="sheet taken",
            subject=kept,
            after={"drawings": len(made)}
            | ({"source_form": str(source_form)} if source_form else {}),
        )
    return made


def _thumbnails_of(sheet: Sheet, source_form: SourceForm | None, at: datetime) -> list[Thumbnail]:
    piece = sheet.piece
    last = piece.thumbnails.aggregate(last=Max("position"))["last"] or 0
    return [
        Thumbnail.objects.create(
            piece=piece,
            # The student's own, whoever laid the sheet before the camera.
            image=awaited_image(
                of=sheet.image,
                by=piece.student,
                name=sheet.image.original_name,
                sha256=_digest(sheet, box),
                at=at,
                then=READ_FORM,
            ),
            source_form=source_form,
            position=last + number,
            added_at=at,
            sheet=sheet,
            box=box,
        )
        for number, box in enumerate(sheet.boxes or [], start=1)
    ]


def _digest(sheet: Sheet, box: Box) -> str:
    made_of = [sheet.image.original_sha256, box]
    return hashlib.sha256(json.dumps(made_of).encode()).hexdigest()


def put_away(*, sheet: Sheet, by: User) -> None:
    """Delete a sheet whose drawings were not taken, and its photo."""
    _require_may(sheet.piece, by)
    with transaction.atomic():
        kept = locked_sheet(sheet)
        _check_not_taken(kept)
        image = kept.image
        record(studio=kept.piece.studio, by=by, action="sheet put away", subject=kept)
        kept.delete()
        erase_image(image=image)


def locked_sheet(sheet: Sheet) -> Sheet:
    """The sheet as it stands, its piece held until the transaction ends."""
    locked_piece(sheet.piece)
    found = Sheet.objects.select_related("image__studio", "piece__studio", "piece__student")
    kept = found.filter(pk=sheet.pk).first()
    if kept is None:
        raise Conflict(_("This sheet was put away meanwhile, perhaps in another window."))
    return kept


def _waiting_sheet(sheet: Sheet) -> Sheet:
    kept = locked_sheet(sheet)
    _check_not_taken(kept)
    _check_proposed(kept)
    return kept


def _check_not_taken(sheet: Sheet) -> None:
    if sheet.taken_at is not None:
        raise Conflict(_("The drawings of this sheet are among the thumbnails already."))


def _check_proposed(sheet: Sheet) -> None:
    if sheet.state == "refused":
        raise Refused(sheet.image.refusal)
    if sheet.state != "proposed":
        raise Refused(_("The sheet is still being taken apart. Wait a moment."))


def _check_edition(sheet: Sheet, edition: int) -> None:
    if sheet.edition != edition:
        raise Conflict(_("The boxes changed meanwhile, perhaps in another window. Look again."))


def _check_room(sheet: Sheet) -> None:
    wanted, room = len(sheet.boxes or []), _room_for(sheet.piece)
    if not wanted:
        raise Refused(_("Put a box around a drawing first."), field="boxes")
    if wanted > room:
        message = _(
            "A piece holds at most %(most)d drawings, withdrawn ones included: there is room for "
            "%(room)d more."
        )
        raise Refused(message % {"most": MOST_DRAWINGS, "room": max(0, room)}, field="boxes")


def take_sheet_apart(work: Work) -> None:
    """Find the drawings on a stored photo, outside any transaction, and propose their boxes."""
    sheet = (
        Sheet.objects.select_related("image")
        .filter(
            image__pk__in=work.job.subjects,
            image__state=StoredImage.State.READY,
            boxes__isnull=True,
        )
        .first()
    )
    if sheet is None:  # put away meanwhile
        return
    found: list[Box] | None
    try:
        with default_storage.open(sheet.image.full_file) as file:
            told = drawings_of_sheet(file.chunks())
        found = [[d["x"], d["y"], d["width"], d["height"]] for d in told["drawings"]]
    except (FileNotFoundError, Unreadable):
        found = None
    with work.finishing():
        _propose(sheet, found)


def _propose(sheet: Sheet, found: Sequence[Box] | None) -> None:
    """What was found, or the whole page; once, and unless the sheet is gone."""
    wide, high = sheet.image.width or 1, sheet.image.height or 1
    boxes = [with_room(box, wide, high) for box in (found or [])[:MOST_BOXES]]
    Sheet.objects.filter(pk=sheet.pk, boxes__isnull=True).update(
        boxes=boxes or [[0, 0, wide, high]],
        found=_said_of(found),
        edition=F("edition") + 1,
    )


def _said_of(found: Sequence[Box] | None) -> Sheet.Found:
    if found is None:
        return Sheet.Found.UNREAD
    if not found:
        return Sheet.Found.NONE
    return Sheet.Found.ONE if len(found) == 1 else Sheet.Found.SEVERAL


def _not_apart(job: Job) -> None:
    sheets = Sheet.objects.select_related("image").filter(image__pk__in=job.subjects)
    for sheet in sheets.filter(image__state=StoredImage.State.READY):
        _propose(sheet, None)


def cut_sheet(work: Work) -> None:
    """Cut the drawings of a taken sheet out, outside any transaction; all of them or none."""
    sheet = Sheet.objects.select_related("image").filter(pk__in=work.job.subjects).first()
    if sheet is None:  # its student was erased meanwhile
        return
    waiting = list(_uncut(sheet))
    if not waiting:
        return
    try:
        with (
            default_storage.open(sheet.image.full_file) as file,
            drawings_cut(file.chunks(), [each.box or [] for each in waiting]) as pictures,
        ):
            keep_made(work, [each.image for each in waiting], pictures)
    except (FileNotFoundError, Unreadable):
        with work.finishing():
            _take_back(sheet)


def _uncut(sheet: Sheet) -> QuerySet[Thumbnail]:
    """Its thumbnails whose pictures aren't there yet."""
    of_sheet = Thumbnail.objects.filter(sheet=sheet, image__state=StoredImage.State.RECEIVED)
    return of_sheet.select_related("image").order_by("position")


def _take_back(sheet: Sheet) -> None:
    """As before it was taken, so that it can be taken again; the page says what happened."""
    if not Piece.objects.select_for_update(of=("self",)).filter(pk=sheet.piece_id).exists():
        return
    waiting = list(_uncut(sheet))
    if Choice.objects.filter(thumbnail__in=waiting).exists():  # what was chosen stays
        for thumbnail in waiting:
            refuse_image(thumbnail.image_id, "gave_up", {})
        return
    for thumbnail in waiting:
        thumbnail.delete()
        erase_image(image=thumbnail.image)
    Sheet.objects.filter(pk=sheet.pk).update(
        taken_at=None, found=Sheet.Found.UNCUT, edition=F("edition") + 1
    )


def _not_cut(job: Job) -> None:
    for sheet in Sheet.objects.filter(pk__in=job.subjects, taken_at__isnull=False):
        _take_back(sheet)


TAKE_APART_KIND = Kind(run=take_sheet_apart, give_up=_not_apart)
CUT_KIND = Kind(run=cut_sheet, give_up=_not_cut)
