"""One piece from the first sketch on: the student's path, and what staff see of it."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from assessments.selectors.evidence import exploration_evidence
from assessments.selectors.marks import is_released
from planning.forms.drawings import LetThroughForm, RefinementsForm, ThumbnailsForm
from planning.forms.sheets import SheetsForm
from planning.models import Ideas, Piece, PlanVersion, Refinement, Sheet, Thumbnail
from planning.photos.ideas_seen import ideas_seen
from planning.plans.view import kept_plan_view
from planning.rows.choices import Lesson
from planning.selectors.gate import exactly, if_of, still_missing
from planning.selectors.lateness import milestone_dates, next_date
from planning.selectors.progress import Progress, progress_of
from planning.selectors.sheets import sheets_waiting
from planning.services.choosing import missing_in_words
from studio.board.selectors.pots import lessons_on_path, pot_on_path, step_now
from studio.board.selectors.shelves import standing_in_words
from studio.people.access import STAFF, only, person_of
from studio.people.models import Role
from studio.uploads.models import StoredImage
from studio.ware.selectors import pots_of


@only(Role.STUDENT)
@require_safe
def pieces(request: HttpRequest) -> HttpResponse:
    """The student's own pots; a single one opens by itself."""
    person = person_of(request)
    mine = list(
        Piece.objects.drawn_by(person)
        .select_related("assignment__section", "student")
        .order_by("-assignment__given_on")
    )
    if len(mine) == 1:
        return redirect("piece", mine[0].pk)
    progress, pots, today = progress_of(mine), pots_of(mine), timezone.localdate()
    rows = [
        (piece, standing_in_words(progress[piece.pk], pots.get(piece.pk), today)) for piece in mine
    ]
    return render(request, "board/pieces.html", {"rows": rows})


@only(*STAFF, Role.STUDENT)
@require_safe
def piece(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The path of a piece from top to bottom; the next thing to do is open."""
    person = person_of(request)
    if not person.is_student:
        return redirect("piece_seen", pk)
    mine = Piece.objects.drawn_by(person).select_related(
        "studio", "assignment__section", "assignment__clay_body", "let_through", "ideas"
    )
    own: Any = get_object_or_404(mine.annotate(released=is_released()), pk=pk)
    today = timezone.localdate()
    on_path = pot_on_path(own, timezone.now(), today)
    built = [own.pk] if on_path is not None and on_path.built else []
    progress = progress_of([own], built=built)[own.pk]
    shown = progress.standing_plan
    lessons = lessons_on_path(own, on_path, today)
    context = _drawings(own) | _plans(own, progress, shown, lessons)
    ideas, readable = _ideas(own, context["thumbnails"])
    done, missing = exactly(progress.done, ideas), None
    if progress.choice is None:
        missing = still_missing(own, done, progress.asked)
    context |= {
        "piece": own,
        "ideas": ideas_seen(own, ideas, readable),
        "done": done,
        "asked": progress.asked,
        "choice": progress.choice,
        "missing": missing_in_words(missing) if missing else "",
        "now": step_now(progress, on_path, shut=bool(missing)),
        "on_path": on_path,
        "thumbnails_form": ThumbnailsForm(piece=own, auto_id="thumbnails_%s"),
        "sheets_form": SheetsForm(auto_id="sheets_%s"),
        "waiting_sheets": list(Sheet.objects.waiting().filter(piece=own).select_related("image")),
        "refinements_form": RefinementsForm(auto_id="refinements_%s"),
        "next_date": next_date(milestone_dates([own])[own.pk], progress),
        "today": today,
        "show_notes": True,
        "released": own.released,
    }
    return render(request, "board/piece.html", context)


@only(*STAFF)
@require_safe
def piece_seen(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The same piece for staff. A technician sees no reasons and no notes of students."""
    person = person_of(request)
    seen = Piece.objects.visible_to(person).select_related(
        "studio",
        "student",
        "assignment__section",
        "assignment__clay_body",
        "let_through__by",
        "ideas",
        "steps",
    )
    found: Any = get_object_or_404(seen.annotate(sheets_waiting=sheets_waiting()), pk=pk)
    today = timezone.localdate()
    on_path = pot_on_path(found, timezone.now(), today)
    progress = progress_of([found])[found.pk]
    shown = progress.waiting or progress.plan
    lessons = lessons_on_path(found, on_path, today)
    context = _drawings(found) | _plans(found, progress, shown, lessons)
    ideas, readable = _ideas(found, context["thumbnails"])
    done, rows = exactly(progress.done, ideas), ideas_seen(found, ideas, readable)
    sent = [plan for plan in (progress.plan, progress.waiting) if plan is not None]
    # Drawings stand in the rows of ideas, else in a list: once.
    in_rows = person.teaches and rows.state == "compared"
    context |= {
        "piece": found,
        "ideas": rows,
        "listed": [each for each in context["thumbnails"] if not (in_rows and each.image.is_ready)],
        "progress": progress,
        "done": done,
        "asked": progress.asked,
        "choice": progress.choice,
        "standing": standing_in_words(progress, on_path.pot if on_path else None, today),
        "on_path": on_path,
        "shut": progress.choice is None and bool(still_missing(found, done, progress.asked)),
        "explored": exploration_evidence(found, sent).in_words if person.teaches else None,
        "teaching": person.teaches,
        "show_notes": person.teaches,
        "let_through": getattr(found, "let_through", None),
        "let_form": LetThroughForm(),
        "today": today,
    }
    return render(request, "board/piece_seen.html", context)


def _drawings(piece: Piece) -> dict[str, Any]:
    drawn = list(Thumbnail.objects.filter(piece=piece).select_related("image", "source_form"))
    refined = Refinement.objects.filter(piece=piece).select_related("image")
    return {
        "thumbnails": [each for each in drawn if each.withdrawn_at is None],
        "withdrawn": [
            each
            for each in drawn
            if each.withdrawn_at is not None and each.image.state == StoredImage.State.READY
        ],
        "refinements": [each for each in refined if each.withdrawn_at is None],
    }


def _ideas(piece: Piece, thumbnails: list[Thumbnail]) -> tuple[Ideas | None, list[Thumbnail]]:
    """What the thumbnails that were read come to, None while they are compared; and these."""
    readable = [each for each in thumbnails if each.image.is_ready]
    return if_of(getattr(piece, "ideas", None), readable), readable


def _plans(
    piece: Piece, progress: Progress, shown: PlanVersion | None, lessons: tuple[Lesson, ...]
) -> dict[str, Any]:
    if shown is not None:
        shown.piece = piece  # with its assignment and clay body
    return {
        "draft": progress.draft,
        "waiting": progress.waiting,
        "approved": progress.plan if progress.approved else None,
        "sent_back": progress.plan if progress.sent_back else None,
        "shown": kept_plan_view(shown, piece.studio, lessons) if shown else None,
        "version": shown,
    }
