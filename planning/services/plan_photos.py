"""Photos of full-size drawings: received, scaled, traced in the background, removed."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.core.files.base import File
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import Choice, Piece, PlanPhoto
from planning.models.plan_photo import Row
from planning.photos.tracing import traced_photo
from planning.tracing.run import Asked
from studio.errors import Conflict, Problem, Refused
from studio.jobs.kinds import Kind
from studio.jobs.models import Job
from studio.jobs.services import ask_for
from studio.jobs.work import Work
from studio.people.models import User
from studio.uploads.models import StoredImage
from studio.uploads.reading import Unreadable
from studio.uploads.services import erase_image, receive_image

from .drawings import locked_piece

MOST_PLAN_PHOTOS = 24
TRACE = "trace_drawing"


@dataclass(frozen=True)
class Scaled:
    """What says how large a drawing is: a `PlanPhoto.Scale`, and for points where the two lines
    are that are tapped, in mm."""

    scale: str
    spacing_mm: float | None = None
    lower_mm: float | None = None
    upper_mm: float | None = None
    left_mm: float | None = None
    right_mm: float | None = None


def add_plan_photo(
    *, piece: Piece, by: User, file: File[bytes], shows: str, scaled: Scaled, at: datetime
) -> PlanPhoto:
    """One more photo of a drawing. It is traced as soon as it was read and its scale is known."""
    made: list[PlanPhoto] = []
    _refuse(scale_problems(shows, scaled))

    def attach(image: StoredImage) -> None:
        _make_room(piece, shows, image)
        made.append(
            PlanPhoto.objects.create(
                piece=piece, image=image, shows=shows, added_at=at, **vars(scaled)
            )
        )

    receive_image(
        studio=piece.studio, by=by, file=file, at=at, field="photo", attach=attach, then=TRACE
    )
    return made[0]


def scale_problems(shows: str, scaled: Scaled) -> list[Problem]:
    """All that lacks before it is known how large the drawing is; a form says it with what else is
    wrong, since a browser doesn't keep the photo."""
    scales = PlanPhoto.Scale
    if scaled.scale == scales.CARD:
        return []
    if shows == PlanPhoto.Shows.BASE:
        return [Problem(_("The outline of a base needs the scale card beside it."), "scale")]
    found = []
    lower, upper = scaled.lower_mm, scaled.upper_mm
    if lower is None or upper is None or upper <= lower:
        message = _("Say how high the upper one is; it is above the lower one.")
        found.append(Problem(message, "upper"))
    if scaled.scale == scales.FOUR and not (scaled.left_mm or 0) + (scaled.right_mm or 0) > 0:
        found.append(Problem(_("Say how far the ends are from the middle line."), "right"))
    return found


def _refuse(problems: list[Problem]) -> None:
    if problems:
        raise Refused.all_of(problems)


def _make_room(piece: Piece, shows: str, image: StoredImage) -> None:
    locked_piece(piece)
    if not Choice.objects.current().filter(piece=piece).exists():
        raise Refused(_("Choose a design first; the plan is of the chosen one."))
    here = PlanPhoto.objects.filter(piece=piece)
    twins = here.filter(shows=shows, image__original_sha256=image.original_sha256)
    if twins.exclude(image__state=StoredImage.State.REFUSED).exists():
        raise Refused(_("This photo is here already."), field="photo")
    if here.count() >= MOST_PLAN_PHOTOS:
        message = _("A piece holds at most %(most)d photos of its plan. Remove some first.")
        raise Refused(message % {"most": MOST_PLAN_PHOTOS}, field="photo")


def rescale(*, photo: PlanPhoto, by: User, scaled: Scaled, at: datetime) -> PlanPhoto:
    """Another scale or spacing; what was traced by the old one is dropped."""
    _refuse(scale_problems(photo.shows, scaled))
    with transaction.atomic():
        kept = locked_photo(photo)
        taps = kept.taps if kept.scale == scaled.scale else []
        for name, value in vars(scaled).items():
            setattr(kept, name, value)
        kept.taps = taps
        _ask_again(kept, by, at)
    return kept


def tap(*, photo: PlanPhoto, by: User, points: list[list[float]], at: datetime) -> PlanPhoto:
    """Where the ends of the lines are in the photo, in pixels of the stored picture."""
    with transaction.atomic():
        kept = locked_photo(photo)
        if kept.scale == PlanPhoto.Scale.CARD or len(points) != len(kept.paper_mm):
            raise Conflict(_("The scale changed meanwhile, perhaps in another window. Look again."))
        kept.taps = points
        _ask_again(kept, by, at)
    return kept


def _ask_again(photo: PlanPhoto, by: User, at: datetime) -> None:
    photo.asked += 1
    photo.answer, photo.lines, photo.sides = None, [], PlanPhoto.Sides.BOTH
    photo.save()
    # Held, so that it is ready now or its reading asks for what stands here once this commits.
    image = StoredImage.objects.select_for_update().get(pk=photo.image_id)
    if image.is_ready and not photo.wants_taps:
        ask_for(
            kind=TRACE,
            studio=photo.piece.studio,
            by=by,
            subjects=[photo.image_id],
            unique_key=f"{photo.image_id}-{photo.asked}",
            at=at,
        )


def remove_plan_photo(*, photo: PlanPhoto) -> None:
    """Delete a photo and what was traced in it. What a plan took from it stays there."""
    with transaction.atomic():
        kept = locked_photo(photo)
        image = kept.image
        kept.delete()
        erase_image(image=image)


def locked_photo(photo: PlanPhoto) -> PlanPhoto:
    """The photo as it stands, its piece held until the transaction ends."""
    locked_piece(photo.piece)
    kept = PlanPhoto.objects.select_related("image", "piece__studio").filter(pk=photo.pk).first()
    if kept is None:
        raise Conflict(_("This photo was removed meanwhile, perhaps in another window."))
    return kept


def trace_drawing(work: Work) -> None:
    """Trace a stored photo, outside any transaction; what it says is kept if still asked for."""
    photo = (
        PlanPhoto.objects.select_related("image")
        .filter(image__pk__in=work.job.subjects, image__state=StoredImage.State.READY)
        .first()
    )
    if photo is None or photo.wants_taps:
        return
    try:
        with default_storage.open(photo.image.full_file) as file:
            answer = traced_photo(file.chunks(), _asked(photo))
    except FileNotFoundError:  # removed meanwhile
        return
    except Unreadable as unread:
        answer = _refused(unread.code)
    with work.finishing():
        _answered(photo, answer)


def _asked(photo: PlanPhoto) -> Asked:
    return Asked(
        "outline" if photo.is_base else "drawing",
        photo.asked_scale,
        spacing_mm=photo.spacing_mm,
        focal_35mm=photo.image.focal_35mm,
    )


def _refused(code: str) -> dict[str, Any]:
    return {"trusted": False, "reason": {"code": code, "values": {}}}


def _answered(photo: PlanPhoto, answer: dict[str, Any]) -> None:
    """Only of the asking that `photo` stands for, and once: a later one has an answer of its own,
    and somebody may have put the first right."""
    rows: list[Row] = [
        [row["height_mm"], row["left_mm"], row["right_mm"]] for row in answer.get("profile", [])
    ]
    unanswered = PlanPhoto.objects.filter(pk=photo.pk, asked=photo.asked, answer__isnull=True)
    unanswered.update(
        answer=answer, lines=rows, sides=answer.get("drawn_on") or PlanPhoto.Sides.BOTH
    )


def _gave_up(job: Job) -> None:
    for photo in PlanPhoto.objects.filter(image__pk__in=job.subjects, answer__isnull=True):
        others = Job.objects.open().filter(kind=TRACE, unique_key__startswith=str(photo.image_id))
        if not others.exists():  # a later asking answers for itself
            _answered(photo, _refused("gave_up"))


TRACE_DRAWING = Kind(run=trace_drawing, give_up=_gave_up)
