"""A teacher's word on which drawings of a student are one idea."""

from collections.abc import Collection
from datetime import datetime
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import IdeaChange, Ideas, Piece
from planning.selectors.gate import ideas_now
from studio.errors import Refused
from studio.people.audit import record
from studio.people.models import User

from .drawings import locked_piece
from .ideas import reckon


def change_ideas(
    *,
    piece: Piece,
    kind: IdeaChange.Kind,
    thumbnails: Collection[str],
    reason: str,
    by: User,
    at: datetime,
) -> IdeaChange:
    """Say that thumbnails, by their ids, are one idea, or each an idea of its own."""
    _require_teacher(piece, by)
    if not reason.strip():
        raise Refused(_("Write the reason; it is kept with the piece."), field="reason")
    joins = kind == IdeaChange.Kind.JOIN
    if len(set(thumbnails)) < (2 if joins else 1):
        few = _("Tick two drawings or more.") if joins else _("Tick a drawing first.")
        raise Refused(few, field="thumbnails")
    with transaction.atomic():
        locked_piece(piece)
        ideas = _compared(piece)
        if not set(thumbnails) <= set(ideas.of):
            raise Refused(_("One of these drawings is no longer there."), field="thumbnails")
        before = _sorted(ideas)
        change = IdeaChange.objects.create(
            piece=piece, kind=kind, of=sorted(thumbnails), reason=reason.strip(), by=by, at=at
        )
        reckon(ideas)
        if _sorted(ideas) == before:
            same = _("They are one idea already.") if joins else _("They are different already.")
            raise Refused(same, field="thumbnails")
        ideas.save(update_fields=["put_right", "most"])
        record(
            studio=piece.studio,
            by=by,
            action="ideas joined" if joins else "ideas separated",
            subject=change,
            after={"thumbnails": change.of, "reason": change.reason},
        )
    return change


def undo_change(*, change: IdeaChange, by: User, at: datetime) -> IdeaChange:
    """Take one's word back, or another teacher's; what was said after it holds on."""
    _require_teacher(change.piece, by)
    with transaction.atomic():
        locked_piece(change.piece)
        kept = IdeaChange.objects.get(pk=change.pk)
        if kept.undone_at is not None:
            return kept
        kept.undone_at = at
        kept.save(update_fields=["undone_at"])
        if ideas := Ideas.objects.filter(piece=kept.piece_id).first():
            reckon(ideas)
            ideas.save(update_fields=["put_right", "most"])
        record(
            studio=change.piece.studio,
            by=by,
            action="ideas put back",
            subject=kept,
            before={"kind": kept.kind, "thumbnails": kept.of},
        )
    return kept


def _require_teacher(piece: Piece, by: User) -> None:
    if not Piece.objects.taught_by(by).filter(pk=piece.pk).exists():
        raise PermissionDenied


def _compared(piece: Piece) -> Ideas:
    """What the drawings that stand came to; it must be there to be put right."""
    ideas = ideas_now(piece)
    if ideas is None:
        raise Refused(_("The drawings are being compared. Wait a moment, then say it again."))
    if ideas.answer is None:
        raise Refused(_("These drawings could not be compared. They all count."))
    return ideas


def _sorted(ideas: Ideas) -> list[Any]:
    told = ideas.told or {}
    return [told[name] for name in ("groups", "copies", "unreadable")]
