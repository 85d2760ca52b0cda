"""A class's pieces as what stands on its shelves."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.models import Assignment, MilestoneKind, Piece
from planning.pictures.shelf import Ware
from planning.selectors.lateness import Lateness, lateness_of
from planning.selectors.progress import Progress, progress_of
from studio.bench.selectors.shelves import UnderWay, under_way
from studio.ware.models import Pot, Stage
from studio.ware.selectors import looks_of, pots_and_built
from studio.ware.wording import standing_words


def pieces_of(assignment: Assignment) -> list[Piece]:
    """The pieces of those who are in the class now, by name."""
    return list(
        Piece.objects.filter(assignment=assignment)
        .of_enrolled()
        .select_related("student", "assignment")
    )


@dataclass(frozen=True)
class Shelved:
    """What stands on a class's shelves, how many of its pots were collected, and when the next
    lesson is by whose end the marked heights should stand."""

    wares: list[Ware]
    collected: int
    by_lesson: date | None


def shelved(pieces: Sequence[Piece], *, today: date, teaching: bool) -> Shelved:
    """Pieces with their silhouettes and, for who teaches, their marks; constant queries.

    A piece is drawn as its pot as soon as there is one; collected pots leave the shelf.
    """
    found, of_pot = pots_and_built(pieces), {piece.pk: piece for piece in pieces}
    pots, progress = found.pots, progress_of(pieces, built=found.built)
    late = lateness_of(pieces, progress, today) if teaching else {}
    gone = {pk for pk, pot in pots.items() if pot.stage == Stage.COLLECTED and not pot.lost}
    looks = looks_of(list(pots.values()))
    being_built = [pot for pot in pots.values() if pot.pk not in found.built_pots]
    for pot in being_built:
        pot.piece = of_pot[pot.piece_id]
    going = under_way(being_built, today)
    wares = [
        _ware(
            piece,
            progress[piece.pk],
            pots.get(piece.pk),
            looks,
            going=going,
            flag=late_in_words(late[piece.pk]) if piece.pk in late else "",
            teaching=teaching,
            today=today,
        )
        for piece in pieces
        if piece.pk not in gone
    ]
    coming = [each.by_lesson.on for each in going.values() if each.by_lesson is not None]
    return Shelved(wares, len(gone), min(coming, default=None))


def _ware(
    piece: Piece,
    progress: Progress,
    pot: Pot | None,
    looks: Mapping[UUID, str],
    *,
    going: Mapping[UUID, UnderWay],
    flag: str,
    teaching: bool,
    today: date,
) -> Ware:
    plan = pot.plan if pot is not None else progress.waiting or progress.plan
    choice = progress.choice
    image = ""
    if plan is None and choice is not None and choice.thumbnail.image.is_ready:
        image = reverse("drawing_image", args=["thumbnail", choice.thumbnail_id, "small"])
    stage = "planned" if progress.approved else "on_paper"
    far = going.get(pot.pk) if pot is not None else None
    return Ware(
        code=pot.code if pot is not None else piece.code,
        name=piece.student.short_name,
        url=reverse("piece_seen", args=[piece.pk]),
        stage=looks[pot.pk] if pot is not None else stage,
        stage_label=standing_in_words(progress, pot, today),
        silhouette=plan.silhouette if plan is not None else None,
        image_url=image,
        flag=flag,
        question=_question(progress, pot, far) if teaching else "",
        line_mm=far.by_lesson.height_mm if far is not None and far.by_lesson else None,
        note=_rows_done(far) if far is not None else "",
    )


def _rows_done(far: UnderWay) -> str:
    if not far.laid or not far.rows:
        return ""
    return _("row %(laid)s of %(rows)s") % {"laid": far.laid, "rows": far.rows}


def _question(progress: Progress, pot: Pot | None, far: UnderWay | None) -> str:
    if progress.waiting:
        return _("The plan waits for you")
    if pot is not None and pot.said_built_at is not None:
        return _("Building has ended: the greenware check waits for you")
    if far is not None and far.asks:
        return _("Asks to carry on from here")
    return ""


def standing_in_words(progress: Progress, pot: Pot | None, today: date) -> str:
    """How far a piece has come, in a few words; once there is a pot, how that stands."""
    return standing_words(pot, today) if pot is not None else _before_the_pot(progress)


def _before_the_pot(progress: Progress) -> str:
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
