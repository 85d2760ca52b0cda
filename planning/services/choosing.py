"""Committing to one thumbnail, when enough has been explored."""

from datetime import datetime
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.exploration.gate import Missing
from planning.models import Choice, LetThrough, Piece, Thumbnail
from planning.selectors.gate import ideas_now, missing_for
from studio.errors import Refused
from studio.people.audit import record
from studio.people.models import User

from .drawings import locked_piece
from .ideas import ask_to_compare


class GateShut(Refused):
    """More exploring comes first; `missing` says how much."""

    def __init__(self, missing: Missing) -> None:
        super().__init__(missing_in_words(missing))
        self.missing = missing


def missing_in_words(missing: Missing) -> str:
    """One sentence for what the choice still waits for."""
    parts = []
    if missing.thumbnails:
        parts.append(
            ngettext("%(n)d more thumbnail", "%(n)d more thumbnails", missing.thumbnails)
            % {"n": missing.thumbnails}
        )
    if missing.source_forms:
        parts.append(
            ngettext("%(n)d more source form", "%(n)d more source forms", missing.source_forms)
            % {"n": missing.source_forms}
        )
    if missing.ideas:
        parts.append(
            ngettext("%(n)d more distinct idea", "%(n)d more distinct ideas", missing.ideas)
            % {"n": missing.ideas}
        )
    if not parts:
        return _("Your drawings are being compared. Wait a moment, then choose.")
    frame = {
        1: _("Before you choose: %(first)s."),
        2: _("Before you choose: %(first)s and %(second)s."),
        3: _("Before you choose: %(first)s, %(second)s and %(third)s."),
    }[len(parts)]
    return frame % dict(zip(("first", "second", "third"), parts, strict=False))


def choose_design(
    *, piece: Piece, thumbnail: Thumbnail, reason: str, by: User, at: datetime
) -> Choice:
    """Commit to a thumbnail, with the reason. A gate once passed stays passed."""
    reason = reason.strip()
    if not reason:
        raise Refused(_("Write why you choose this one; a sentence is enough."), field="reason")
    with transaction.atomic():
        locked_piece(piece)
        standing = Thumbnail.objects.standing().filter(piece=piece, pk=thumbnail.pk)
        if not standing.exists():
            raise Refused(_("Choose one of your own thumbnails."), field="thumbnail")
        former = Choice.objects.current().filter(piece=piece).first()
        if former is None and (missing := missing_for(piece)):
            raise GateShut(missing)
        if former is not None:
            if former.thumbnail_id == thumbnail.pk and former.reason == reason:
                return former
            former.replaced_at = at
            former.save(update_fields=["replaced_at"])
        choice = Choice.objects.create(
            piece=piece, thumbnail=thumbnail, reason=reason, at=at, **_explored(piece)
        )
        record(
            studio=piece.studio,
            by=by,
            action="design chosen",
            subject=choice,
            before={"thumbnail": str(former.thumbnail_id)} if former else {},
            after={"thumbnail": str(thumbnail.pk)},
        )
        ask_to_compare(piece=piece, by=by)
    return choice


def _explored(piece: Piece) -> dict[str, Any]:
    """How much there was to choose from, for the choice to keep."""
    ideas = ideas_now(piece)
    told = (ideas.told if ideas else None) or {}
    return {
        "thumbnail_count": Thumbnail.objects.readable().filter(piece=piece).count(),
        **{name: told.get(name) for name in ("distinct", "low", "high")},
    }


def let_through(*, piece: Piece, reason: str, by: User, at: datetime) -> LetThrough:
    """A teacher opens the gate for one student; the reason is kept."""
    if not Piece.objects.taught_by(by).filter(pk=piece.pk).exists():
        raise PermissionDenied
    if not reason.strip():
        raise Refused(_("Write the reason; it is kept with the piece."), field="reason")
    with transaction.atomic():
        locked_piece(piece)
        row, _made = LetThrough.objects.update_or_create(
            piece=piece, defaults={"by": by, "reason": reason.strip(), "at": at}
        )
        record(
            studio=piece.studio,
            by=by,
            action="let through",
            subject=row,
            after={"reason": row.reason},
        )
    return row
