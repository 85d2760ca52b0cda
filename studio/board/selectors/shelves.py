"""A class's pieces as what stands on its shelves."""

from collections.abc import Sequence
from datetime import date

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.models import Assignment, MilestoneKind, Piece
from planning.pictures.shelf import Ware
from planning.selectors.lateness import Lateness, lateness_of
from planning.selectors.progress import Progress, progress_of


def pieces_of(assignment: Assignment) -> list[Piece]:
    """The pieces of those who are in the class now, by name."""
    return list(
        Piece.objects.filter(assignment=assignment)
        .of_enrolled()
        .select_related("student", "assignment")
    )


def wares_of(pieces: Sequence[Piece], *, today: date, teaching: bool) -> list[Ware]:
    """Pieces with their silhouettes and, for who teaches, their marks; constant queries."""
    progress = progress_of(pieces)
    late = lateness_of(pieces, progress, today) if teaching else {}
    return [_ware(piece, progress[piece.pk], late.get(piece.pk), teaching) for piece in pieces]


def _ware(piece: Piece, progress: Progress, late: Lateness | None, teaching: bool) -> Ware:
    plan = progress.waiting or progress.plan
    choice = progress.choice
    image = ""
    if plan is None and choice is not None and choice.thumbnail.image.is_ready:
        image = reverse("drawing_image", args=["thumbnail", choice.thumbnail_id, "small"])
    return Ware(
        code=piece.code,
        name=piece.student.short_name,
        url=reverse("piece_seen", args=[piece.pk]),
        stage="planned" if progress.approved else "on_paper",
        stage_label=standing_in_words(progress),
        silhouette=plan.silhouette if plan is not None else None,
        image_url=image,
        flag=late_in_words(late) if late else "",
        question=_("The plan waits for you") if teaching and progress.waiting else "",
    )


def standing_in_words(progress: Progress) -> str:
    """How far a piece has come, in a few words."""
    if progress.waiting is not None:
        return _("plan sent")
    if progress.approved:
        return _("plan approved")
    if progress.sent_back:
        return _("plan sent back")
    if progress.choice is not None:
        return _("design chosen")
    if progress.done.thumbnails:
        text = ngettext("%(n)d thumbnail", "%(n)d thumbnails", progress.done.thumbnails)
        return text % {"n": progress.done.thumbnails}
    return _("no drawing yet")


def late_in_words(late: Lateness) -> str:
    """What is late, counted in lessons that the student was there for."""
    what = MilestoneKind(late.kind).label
    text = ngettext(
        "Late: %(what)s, by %(n)d lesson", "Late: %(what)s, by %(n)d lessons", late.lessons
    )
    return text % {"what": what, "n": late.lessons}
