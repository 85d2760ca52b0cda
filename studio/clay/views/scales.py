"""Clay for one pot after the other, at the scale."""

from contextlib import suppress
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from studio.clay.forms.scales import ScalesForm
from studio.clay.selectors.issue_list import IssueLine, line_of
from studio.clay.selectors.scales import handed_out, piece_at_scales, run_of
from studio.clay.services import correct, issue_class_list
from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.idempotency import once_for_form, once_or_shown
from studio.people.models import User
from studio.web.shown import mass_text


@only(*STAFF)
def scales(request: HttpRequest) -> HttpResponse:
    """Code, weight, next one; what went out today stands below and can be undone."""
    by = person_of(request)
    studio = studio_of(by)
    line = _asked(request, by)
    form = ScalesForm(
        request.POST or None, initial=_initial(request, line), by=by, units=studio, line=line
    )

    def act() -> dict[str, Any]:
        row = form.row()
        [entry] = issue_class_list(
            assignment=row.piece.assignment, rows=[row], by=by, at=timezone.now()
        )
        who = row.piece.student.short_name
        return {"code": entry.pot.code if entry.pot else "", "who": who, "grams": -entry.grams}

    if form.is_valid() and (done := once_or_shown(request, act, form.show)):
        words = done | {"mass": mass_text(done["grams"], studio)}
        messages.success(request, _("%(mass)s to %(code)s, %(who)s.") % words)
        return redirect(_here(lot=form.cleaned_data["lot"].pk))
    if form.is_bound and form.was_scanned:
        code, lot = form.cleaned_data["code"].code, form.cleaned_data.get("lot")
        return redirect(_here(code=code, lot=lot.pk if lot else ""))
    context = {
        "form": form,
        "line": form.line,
        "run": run_of(by, timezone.localdate()),
        "nothing_there": not form.has_lots,
        "today": timezone.localdate(),
    }
    return render(request, "clay/scales.html", context)


@only(*STAFF)
@require_POST
def scales_undo(request: HttpRequest, pk: UUID) -> HttpResponse:
    """What the person handed out is taken back by an entry of its own."""
    by = person_of(request)
    # Also what was undone: the second tap of one form reads the answer of the first.
    found = get_object_or_404(handed_out(by), pk=pk)

    def act() -> dict[str, Any]:
        correct(entry=found, reason=_("Undone at the scales."), by=by, at=timezone.now())
        return {"code": found.pot.code if found.pot else "", "grams": -found.grams}

    done = once_for_form(request, act)
    words = {"mass": mass_text(done["grams"], found.lot.studio), "code": done["code"]}
    messages.success(request, _("%(mass)s of %(code)s are back in the lot.") % words)
    return redirect(_here(lot=found.lot_id))


def _asked(request: HttpRequest, by: User) -> IssueLine | None:
    """Whose code stands in the address."""
    typed = request.GET.get("code", "")
    piece = piece_at_scales(by, typed) if typed else None
    return line_of(piece, today=timezone.localdate()) if piece else None


def _initial(request: HttpRequest, line: IssueLine | None) -> dict[str, Any]:
    initial: dict[str, Any] = {"part": ""}
    with suppress(ValueError):
        initial["lot"] = UUID(request.GET.get("lot", ""))
    if line is not None:
        initial |= {"code": line.code, "grams": line.remaining_g or None}
    return initial


def _here(**asked: Any) -> str:
    said = {name: value for name, value in asked.items() if value}
    return f"{reverse('scales')}?{urlencode(said)}" if said else reverse("scales")
