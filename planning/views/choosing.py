"""Choosing one of the thumbnails, and the teacher's word where the gate is shut."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from planning.exploration.gate import Missing
from planning.forms.drawings import ChoiceForm, LetThroughForm
from planning.models import Choice, Piece, Thumbnail
from planning.photos.ideas_seen import ideas_seen
from planning.selectors.gate import counts_asked, counts_done, exactly, if_of, still_missing
from planning.services.choosing import choose_design, let_through, missing_in_words
from studio.errors import Refused
from studio.people.access import TEACHING, only, person_of
from studio.people.models import Role
from studio.web.refusals import show_refusal


@only(Role.STUDENT)
def choose(request: HttpRequest, pk: UUID) -> HttpResponse:
    person = person_of(request)
    mine = Piece.objects.drawn_by(person).select_related(
        "studio", "assignment", "let_through", "ideas"
    )
    piece = get_object_or_404(mine, pk=pk)
    thumbnails = list(
        Thumbnail.objects.readable().filter(piece=piece).select_related("image", "source_form")
    )
    current = Choice.objects.current().filter(piece=piece).first()
    ideas = if_of(getattr(piece, "ideas", None), thumbnails)
    done = exactly(counts_done([piece.pk])[piece.pk], ideas)
    asked = counts_asked([piece])[piece.pk]
    missing = None if current else still_missing(piece, done, asked)
    initial = {"thumbnail": current.thumbnail_id, "reason": current.reason} if current else {}
    form = ChoiceForm(request.POST or None, initial=initial, thumbnails=thumbnails)
    if request.method == "POST" and form.is_valid():
        try:
            choose_design(piece=piece, by=person, at=timezone.now(), **form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("piece", piece.pk)
    context = {
        "piece": piece,
        "form": form,
        "thumbnails": thumbnails,
        "picked": str(form["thumbnail"].value() or ""),
        "done": done,
        "asked": asked,
        "ideas": ideas_seen(piece, ideas, thumbnails),
        "missing": missing_in_words(missing) if missing else "",
        # A choice that can only be refused is not offered; what was sent from an older page stays.
        "shut": missing and missing != Missing(0, 0, comparing=True) and not form.is_bound,
        "short_of_ideas": bool(missing and missing.ideas and done.ideas),
    }
    return render(request, "planning/choose.html", context)


@only(*TEACHING)
@require_POST
def let_choose(request: HttpRequest, pk: UUID) -> HttpResponse:
    person = person_of(request)
    piece = get_object_or_404(Piece.objects.taught_by(person).select_related("studio"), pk=pk)
    form = LetThroughForm(request.POST)
    if form.is_valid():
        let_through(piece=piece, by=person, at=timezone.now(), **form.cleaned_data)
        messages.success(request, _("Let through. The student may choose now."))
    else:
        messages.error(request, _("Write the reason; it is kept with the piece."))
    return redirect("piece_seen", piece.pk)
