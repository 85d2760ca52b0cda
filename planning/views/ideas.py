"""A teacher puts right which drawings of a student are one idea."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from planning.forms.ideas import IdeaChangeForm
from planning.models import IdeaChange, Piece, Thumbnail
from planning.photos.ideas_seen import ideas_seen
from planning.selectors.gate import if_of
from planning.services.ideas_by_hand import change_ideas, undo_change
from studio.errors import Refused
from studio.people.access import TEACHING, only, person_of
from studio.web.refusals import show_refusal


@only(*TEACHING)
def ideas_by_hand(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Tick drawings and say that they are one idea, or different ones."""
    person = person_of(request)
    taught = Piece.objects.taught_by(person).select_related(
        "studio", "student", "assignment", "ideas"
    )
    piece = get_object_or_404(taught, pk=pk)
    thumbnails = list(
        Thumbnail.objects.readable().filter(piece=piece).select_related("image", "source_form")
    )
    form = IdeaChangeForm(request.POST or None, thumbnails=thumbnails)
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data | {"kind": IdeaChange.Kind(form.cleaned_data["kind"])}
        try:
            change_ideas(piece=piece, by=person, at=timezone.now(), **said)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("Kept. The student sees the rows as you said."))
            return redirect("ideas_by_hand", piece.pk)
    ideas = if_of(getattr(piece, "ideas", None), thumbnails)
    changes = IdeaChange.objects.filter(piece=piece).select_related("by")
    context = {
        "piece": piece,
        "form": form,
        "ideas": ideas_seen(piece, ideas, thumbnails),
        "ticked": form["thumbnails"].value() or [],
        "changes": [
            (each, [drawn for drawn in thumbnails if str(drawn.pk) in each.of]) for each in changes
        ],
        "today": timezone.localdate(),
    }
    return render(request, "planning/ideas_by_hand.html", context)


@only(*TEACHING)
@require_POST
def idea_change_undo(request: HttpRequest, pk: UUID) -> HttpResponse:
    person = person_of(request)
    found = IdeaChange.objects.filter(piece__in=Piece.objects.taught_by(person).order_by())
    change = get_object_or_404(found.select_related("piece__studio", "piece__assignment"), pk=pk)
    undo_change(change=change, by=person, at=timezone.now())
    messages.success(request, _("Undone. The rows are as they were without it."))
    return redirect("ideas_by_hand", change.piece_id)
