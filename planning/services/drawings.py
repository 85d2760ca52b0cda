"""Thumbnails and refinements: adding, describing, ordering, withdrawing."""

from datetime import datetime

from django.core.files.base import File
from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from planning.models import Choice, Piece, Refinement, SourceForm, Thumbnail
from studio.errors import Conflict, Refused
from studio.people.audit import record
from studio.people.models import User
from studio.uploads.models import StoredImage
from studio.uploads.services import receive_image

from .ideas import READ_FORM, ask_to_compare

MOST_DRAWINGS = 120


def add_thumbnail(
    *,
    piece: Piece,
    by: User,
    file: File[bytes],
    at: datetime,
    source_form: SourceForm | None = None,
    note: str = "",
) -> Thumbnail:
    """One more idea, from a photo. The same photo sent twice stays one."""
    made: list[Thumbnail] = []

    def attach(image: StoredImage) -> None:
        _make_room(piece, Thumbnail, image)
        last = piece.thumbnails.aggregate(last=Max("position"))["last"] or 0
        made.append(
            Thumbnail.objects.create(
                piece=piece,
                image=image,
                source_form=source_form,
                note=note,
                position=last + 1,
                added_at=at,
            )
        )

    receive_image(
        studio=piece.studio, by=by, file=file, at=at, field="photos", attach=attach, then=READ_FORM
    )
    return made[0]


def add_refinement(
    *, piece: Piece, by: User, file: File[bytes], at: datetime, note: str = ""
) -> Refinement:
    """A drawing that develops the chosen design."""
    made: list[Refinement] = []

    def attach(image: StoredImage) -> None:
        _make_room(piece, Refinement, image)
        if not Choice.objects.current().filter(piece=piece).exists():
            raise Refused(_("Choose a design first; refinements develop the chosen one."))
        made.append(Refinement.objects.create(piece=piece, image=image, note=note, added_at=at))

    receive_image(
        studio=piece.studio, by=by, file=file, at=at, field="photos", attach=attach, then=READ_FORM
    )
    return made[0]


def _make_room(piece: Piece, model: type[Thumbnail] | type[Refinement], image: StoredImage) -> None:
    # Two taps send the same photo at the same moment; the piece's lock puts them in a row.
    locked_piece(piece)
    here = model.objects.filter(piece=piece)
    # One that could not be read doesn't count: the same file may be read the next time.
    twins = here.filter(image__original_sha256=image.original_sha256).exclude(
        image__state=StoredImage.State.REFUSED
    )
    if twin := twins.first():
        message = _("This photo is here already.")
        if twin.withdrawn_at is not None:
            message = _("This photo is among the withdrawn ones. Bring it back from there.")
        raise Refused(message, field="photos")
    if here.count() >= MOST_DRAWINGS:
        message = _("A piece holds at most %(most)d drawings, withdrawn ones included.")
        raise Refused(message % {"most": MOST_DRAWINGS}, field="photos")


def describe_thumbnail(
    *, thumbnail: Thumbnail, by: User, source_form: SourceForm | None, note: str
) -> Thumbnail:
    """What the idea grew from, and a note."""
    if source_form is not None:
        check_source_form(source_form, thumbnail.piece)
    with transaction.atomic():
        kept: Thumbnail = Thumbnail.objects.select_for_update().get(pk=thumbnail.pk)
        before = {"source_form": str(kept.source_form or ""), "note": kept.note}
        kept.source_form, kept.note = source_form, note
        kept.save(update_fields=["source_form", "note"])
        record(
            studio=thumbnail.piece.studio,
            by=by,
            action="thumbnail described",
            subject=kept,
            before=before,
            after={"source_form": str(source_form or ""), "note": note},
        )
    return kept


def check_source_form(source_form: SourceForm, piece: Piece) -> None:
    if source_form.studio_id != piece.studio_id:
        raise Refused(_("Choose a source form from the list."), field="source_form")


def withdraw(*, drawing: Thumbnail | Refinement, by: User, at: datetime) -> None:
    """Take a drawing out of the count. It is kept, and can be brought back."""
    _set_withdrawn(drawing, by, at)


def bring_back(*, drawing: Thumbnail | Refinement, by: User) -> None:
    """Undo a withdrawal."""
    _set_withdrawn(drawing, by, None)


def _set_withdrawn(drawing: Thumbnail | Refinement, by: User, at: datetime | None) -> None:
    with transaction.atomic():
        locked_piece(drawing.piece)
        drawing.refresh_from_db(fields=["withdrawn_at"])
        if (drawing.withdrawn_at is None) == (at is None):
            return
        # Under the piece's lock, so that a choice made at the same moment is seen.
        if at is not None and _is_chosen(drawing):
            raise Refused(
                _("This is your chosen design. Choose another one before you withdraw it.")
            )
        drawing.withdrawn_at = at
        drawing.save(update_fields=["withdrawn_at"])
        ask_to_compare(piece=drawing.piece, by=by)
        record(
            studio=drawing.piece.studio,
            by=by,
            action="drawing withdrawn" if at else "drawing brought back",
            subject=drawing,
        )


def _is_chosen(drawing: Thumbnail | Refinement) -> bool:
    return (
        isinstance(drawing, Thumbnail)
        and Choice.objects.current().filter(thumbnail=drawing).exists()
    )


def move_thumbnail(*, thumbnail: Thumbnail, earlier: bool) -> None:
    """One place earlier or later among the standing ones."""
    with transaction.atomic():
        locked_piece(thumbnail.piece)
        row = list(Thumbnail.objects.standing().filter(piece=thumbnail.piece))
        place = next((n for n, each in enumerate(row) if each.pk == thumbnail.pk), None)
        if place is None:
            return
        other = place - 1 if earlier else place + 1
        if not 0 <= other < len(row):
            return
        row[place], row[other] = row[other], row[place]
        for position, each in enumerate(row, start=1):
            each.position = position
        Thumbnail.objects.bulk_update(row, ["position"])


def locked_piece(piece: Piece) -> Piece:
    """The piece's own row, held until the transaction ends."""
    kept = Piece.objects.select_for_update(of=("self",)).filter(pk=piece.pk).first()
    if kept is None:
        raise Conflict(_("This piece is gone: its brief was taken back from the class."))
    return kept
