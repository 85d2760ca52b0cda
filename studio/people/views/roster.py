"""Roster import: upload, look, apply."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from studio.errors import Conflict, Refused
from studio.people.access import only, person_of, studio_of
from studio.people.forms.studio import RosterForm
from studio.people.models import Role, User
from studio.people.roster.apply import apply_roster
from studio.people.roster.files import MOST_UPLOADED, packed
from studio.people.roster.kept import keep_upload, kept_upload
from studio.people.roster.plan import roster_plan
from studio.people.roster.reading import roster_in
from studio.web.refusals import show_refusal


@only(Role.HEAD)
def roster(request: HttpRequest) -> HttpResponse:
    """Choose the files; they are read before anything is kept."""
    form = RosterForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        files = form.cleaned_data["uploads"]
        try:
            # Sizes are known before the bytes are read into memory.
            if sum(each.size or 0 for each in files) > MOST_UPLOADED:
                message = _("The files are larger than %(most)s MB. Export one year only.")
                raise Refused(message % {"most": MOST_UPLOADED // 1_000_000}, field="uploads")
            bundle = packed([(each.name or "", each.read()) for each in files])
            roster_in(bundle)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            digest = keep_upload(person=person_of(request), bundle=bundle, at=timezone.now())
            return redirect("roster_preview", digest)
    return render(request, "people/roster.html", {"form": form})


@only(Role.HEAD)
@require_safe
def roster_preview(request: HttpRequest, digest: str) -> HttpResponse:
    """What would change now. Nothing is written."""
    by = person_of(request)
    read = roster_in(kept_upload(person=by, digest=digest))
    plan = roster_plan(read, studio_of(by), timezone.localdate())
    context = {"plan": plan, "digest": digest, "fingerprint": plan.fingerprint()}
    return render(request, "people/roster_preview.html", context)


@only(Role.HEAD)
@require_POST
def roster_apply(request: HttpRequest, digest: str) -> HttpResponse:
    by = person_of(request)
    try:
        plan = apply_roster(
            studio=studio_of(by),
            by=by,
            digest=digest,
            fingerprint=request.POST.get("fingerprint", ""),
            today=timezone.localdate(),
        )
    except Conflict as refusal:
        # Still kept: show what would change now. Else: start with the files again.
        messages.error(request, str(refusal))
        return redirect("roster_preview", digest) if _is_kept(by, digest) else redirect("roster")
    message = _(
        "New: %(new)s. Changed: %(changed)s. Joined a class: %(joined)s. Left a class: %(left)s."
    )
    counts = {
        "new": len(plan.new),
        "changed": len(plan.changed),
        "joined": len(plan.joining),
        "left": len(plan.left),
    }
    messages.success(request, message % counts)
    return redirect("people")


def _is_kept(by: User, digest: str) -> bool:
    try:
        kept_upload(person=by, digest=digest)
    except Conflict:
        return False
    return True
