"""Which of a student's thumbnails are one idea: read once each, compared whenever they change.

With them the way from the choice on is compared (`steps`), in the same job.
"""

from collections.abc import Sequence
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils import timezone

from planning.exploration.advice import shape_of
from planning.exploration.by_hand import Change, put_right
from planning.exploration.kept import VERSION as FORM_VERSION
from planning.exploration.reading import Unread
from planning.exploration.run import comparison
from planning.exploration.silhouette import Drawn
from planning.models import (
    Assignment,
    Choice,
    DrawnForm,
    IdeaChange,
    Ideas,
    Piece,
    Refinement,
    Steps,
    Thumbnail,
)
from planning.photos.forms import form_of_photo
from planning.selectors.steps import thumbnails_in_time
from studio.jobs.kinds import Kind
from studio.jobs.models import Job
from studio.jobs.services import ask_for
from studio.jobs.work import Work
from studio.people.models import User
from studio.uploads.models import StoredImage

from .steps import OnTheWay, Read, keep_steps, on_the_way, steps_answer

READ_FORM: Final = "read_form"
COMPARE: Final = "compare_ideas"

_AT_ONCE: Final = 20
"""Pieces that housekeeping asks for in one go."""


class _MovedOn(Exception):  # noqa: N818 -- says what happened, and nothing is in error
    """What is compared changed meanwhile."""


def ask_to_compare(*, piece: Piece, by: User) -> None:
    """In the transaction that changes which drawings stand, which is chosen or which plan there is,
    its piece held; nothing is asked for in a class whose ideas aren't counted."""
    if not piece.assignment.ideas_counted:
        return
    ask_for(
        kind=COMPARE,
        studio=piece.studio,
        by=by,
        subjects=[piece.pk],
        unique_key=str(piece.pk),
        at=timezone.now(),
    )


def read_form(work: Work) -> None:
    """Read the form in a stored photo, outside any transaction, then have it compared."""
    image = _ready(work.job)
    if image is None:  # erased meanwhile
        return
    known = DrawnForm.objects.filter(image=image, version=FORM_VERSION).exists()
    told = {} if known else _told_of(image)
    with work.finishing():
        _kept_and_compared(image, told)


def _ready(job: Job) -> StoredImage | None:
    images = StoredImage.objects.filter(pk__in=job.subjects, state=StoredImage.State.READY)
    return images.select_related("by").first()


def _told_of(image: StoredImage) -> dict[str, Any]:
    """What the photo says, for `_keep`; nothing where its file was erased meanwhile."""
    try:
        with default_storage.open(image.full_file) as file:
            return form_of_photo(file.chunks())
    except FileNotFoundError:
        return {}


def _kept_and_compared(image: StoredImage, told: dict[str, Any]) -> None:
    # The piece first, as everywhere: two that hold each other's row would wait for ever.
    owners = [
        model.objects.filter(image=image).order_by().values_list("piece", flat=True)
        for model in (Thumbnail, Refinement)
    ]
    owner = next(iter(owners[0].union(owners[1])), None)
    piece = _held(owner) if owner else None
    _keep(image, told)
    if piece is not None:
        ask_to_compare(piece=piece, by=image.by)


def _keep(image: StoredImage, told: dict[str, Any]) -> None:
    """Unless the image is gone; what an older version of the reading kept is replaced."""
    if told and StoredImage.objects.select_for_update().filter(pk=image.pk).exists():
        nothing = {"form": b"", "strokes": b"", "at": "", "code": "", "values": {}}
        DrawnForm.objects.update_or_create(
            image=image, defaults=nothing | told | {"version": FORM_VERSION}
        )


def _held(piece: UUID | str) -> Piece | None:
    """The piece, held until the transaction ends; None if it is gone."""
    rows = Piece.objects.select_for_update(of=("self",)).select_related("studio", "assignment")
    return rows.filter(pk=piece).first()


def _form_gave_up(job: Job) -> None:
    if image := _ready(job):
        _kept_and_compared(image, {"at": "file", "code": "gave_up"})


def compare_ideas(work: Work) -> None:
    """Compare what stands of a piece, outside any transaction, until nothing changed meanwhile."""
    pk = UUID(work.job.subjects[0])
    while not work.is_finished:
        standing = thumbnails_in_time(pk)
        way = on_the_way(pk, standing)
        read = _reader(work)
        ideas, steps = _ideas_now(work, pk, standing, read), _steps_now(work, pk, way, read)
        try:
            with work.finishing():
                _write_down_if_it_holds(pk, standing, ideas, way, steps)
        except _MovedOn:
            continue


def _ideas_now(
    work: Work, pk: UUID, standing: Sequence[Thumbnail], read: Read
) -> dict[str, Any] | None:
    """What is known of these very thumbnails, else what is found."""
    found = Ideas.objects.filter(piece=pk).first()
    if found is not None and found.is_of(set(_ids(standing))):
        return found.answer
    return _compared(work, standing, read)


def _steps_now(work: Work, pk: UUID, way: OnTheWay | None, read: Read) -> dict[str, Any] | None:
    """The same of the way from the choice on; None where nothing is chosen."""
    if way is None:
        return None
    found = Steps.objects.filter(piece=pk).first()
    if found is not None and found.is_of(way.told):
        return found.answer
    answer = steps_answer(way, read)
    work.progress(90)
    return answer


def _write_down_if_it_holds(
    pk: UUID,
    compared: Sequence[Thumbnail],
    ideas: dict[str, Any] | None,
    way: OnTheWay | None,
    steps: dict[str, Any] | None,
) -> None:
    piece = _held(pk)
    if piece is None:
        return
    # Whoever changes what is compared holds the piece: either this sees it, or they ask anew.
    standing = thumbnails_in_time(pk)
    now = on_the_way(pk, standing)
    same_way = (now and now.told) == (way and way.told)
    if not same_way or set(_ids(standing)) != set(_ids(compared)):
        raise _MovedOn
    _write_down(piece, compared, ideas)
    if way is not None:
        keep_steps(piece=piece, way=way, answer=steps)


def _write_down(piece: Piece, compared: Sequence[Thumbnail], answer: dict[str, Any] | None) -> None:
    ideas = Ideas.objects.filter(piece=piece).first() or Ideas(piece=piece)
    ideas.of, ideas.count, ideas.answer = _ids(compared), len(compared), answer
    ideas.version, ideas.computed_at = Ideas.VERSION, timezone.now()
    reckon(ideas)
    ideas.save()


def reckon(ideas: Ideas) -> None:
    """What was compared with every teacher's change that stands; its piece held, nothing saved."""
    changes = [
        Change("join" if each.kind == IdeaChange.Kind.JOIN else "separate", frozenset(each.of))
        for each in IdeaChange.objects.standing().filter(piece=ideas.piece_id)
    ]
    answer = ideas.answer
    ideas.put_right = put_right(answer, ideas.of, changes) if answer and changes else None
    ideas.most = _most(ideas)


def _most(ideas: Ideas) -> int:
    """What could not be compared may be an idea of its own; it is held against nobody."""
    told = ideas.told
    return ideas.count if told is None else round(told["high"]) + len(told["unreadable"])


def _ids(thumbnails: Sequence[Thumbnail]) -> list[str]:
    return [str(each.pk) for each in thumbnails]


def _compared(work: Work, thumbnails: Sequence[Thumbnail], read: Read) -> dict[str, Any]:
    forms = [read(each.image) for each in thumbnails]
    work.progress(50)
    told, ids = comparison(forms), _ids(thumbnails)
    shapes = {
        pk: shape_of(drawn.form)
        for pk, drawn in zip(ids, forms, strict=True)
        if isinstance(drawn, Drawn)
    }
    return {
        **{name: told[name] for name in ("distinct", "low", "high", "vendi")},
        "readable": [ids[n] for n in told["readable"]],
        "similarity": [[round(alike, 4) for alike in row] for row in told["similarity"]],
        "groups": [[ids[n] for n in group] for group in told["groups"]],
        "copies": [[ids[n] for n in pair] for pair in told["copies"]],
        "unreadable": [
            {"id": ids[each["index"]]} | {name: each[name] for name in ("at", "code", "values")}
            for each in told["unreadable"]
        ],
        "shapes": {pk: [shape.build, shape.widest] for pk, shape in shapes.items()},
    }


def _reader(work: Work) -> Read:
    """What is in a photo, looked for once."""
    known: dict[UUID, Drawn | Unread] = {}

    def read(image: StoredImage) -> Drawn | Unread:
        if image.pk not in known:
            known[image.pk] = _form_of(work, image)
        return known[image.pk]

    return read


def _form_of(work: Work, image: StoredImage) -> Drawn | Unread:
    """What is kept of it; read now where nothing is."""
    kept = getattr(image, "drawn_form", None)
    if kept is None or not kept.is_current:
        work.progress(10)  # a sign of life before each that takes long
        told = _told_of(image)
        with transaction.atomic():
            _keep(image, told)
        kept = DrawnForm.objects.filter(image=image).first()
    return kept.read if kept else Unread("gave_up", {})


def _compare_gave_up(job: Job) -> None:
    if piece := _held(job.subjects[0]):
        standing = thumbnails_in_time(piece.pk)
        _write_down(piece, standing, None)
        if way := on_the_way(piece.pk, standing):
            keep_steps(piece=piece, way=way, answer=None)


def compare_the_rest(*, at: datetime) -> None:
    """Ask for pieces that were never compared, or before it was done as today, some at a time."""
    choices = Choice.objects.current().filter(thumbnail__image__state=StoredImage.State.READY)
    chosen = Exists(choices.filter(piece=OuterRef("pk")))
    older = (
        Q(ideas__isnull=True)
        | Q(ideas__version__lt=Ideas.VERSION)
        | Q(chosen, steps__isnull=True)
        | Q(chosen, steps__version__lt=Steps.VERSION)
    )
    rest = _drawn().filter(older, code_live=True, assignment__ideas_counted=True)
    for piece in rest.order_by("created_at")[:_AT_ONCE]:
        ask_to_compare(piece=piece, by=piece.student)


def ask_for_the_class(*, assignment: Assignment, by: User) -> None:
    """Every piece with a drawing: what changed while nothing was compared is compared now."""
    for piece in _drawn().filter(assignment=assignment).order_by("created_at"):
        ask_to_compare(piece=piece, by=by)


def _drawn() -> QuerySet[Piece]:
    """Pieces of which a thumbnail stands and was read."""
    drawn = Thumbnail.objects.readable().filter(piece=OuterRef("pk"))
    return Piece.objects.filter(Exists(drawn)).select_related("studio", "student", "assignment")


# Photos that somebody waits to see are opened first.
READ_FORM_KIND = Kind(run=read_form, give_up=_form_gave_up, priority=-10)
COMPARE_KIND = Kind(run=compare_ideas, give_up=_compare_gave_up, priority=-10)
