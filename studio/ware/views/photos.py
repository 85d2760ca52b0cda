"""Photos of a pot: sending them, and handing them to whoever may see the pot."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from studio.errors import Refused
from studio.people.access import STAFF, only, person_of
from studio.people.models import Role
from studio.uploads.serve import image_response
from studio.ware.forms.pots import PotPhotosForm
from studio.ware.models import PotPhoto
from studio.ware.selectors.seen import of_seen_pots
from studio.ware.services import add_pot_photo

from .posting import seen_pot
from .pot import pot_page


@only(*STAFF, Role.STUDENT)
@require_POST
def pot_photos_add(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Each photo by itself: one that is refused leaves the others alone."""
    found = seen_pot(request, pk)
    by_script = request.headers.get("X-Requested-With") == "fetch"
    form = PotPhotosForm(request.POST, request.FILES, auto_id="photo_%s")
    if not form.is_valid():
        if by_script:
            message = str(next(iter(form.errors.values()))[0])
            return JsonResponse({"ok": False, "message": message}, status=422)
        return pot_page(request, found, photos_form=form)
    added: list[PotPhoto] = []
    for file in form.cleaned_data["photos"]:
        try:
            photo = add_pot_photo(
                pot=found,
                occasion=form.cleaned_data["occasion"],
                file=file,
                by=person_of(request),
                at=timezone.now(),
            )
        except Refused as refusal:
            form.add_error("photos", f"{file.name}: {refusal}")
        else:
            added.append(photo)
    if by_script:
        return _by_script(request, form, added)
    if added:
        text = ngettext("%(n)d photo received.", "%(n)d photos received.", len(added))
        messages.success(request, text % {"n": len(added)})
    if form.errors:
        return pot_page(request, found, photos_form=form)
    return redirect("pot", pk)


def _by_script(request: HttpRequest, form: PotPhotosForm, added: list[PotPhoto]) -> HttpResponse:
    if form.errors:
        message = " ".join(str(each) for each in form.errors["photos"])
        return JsonResponse({"ok": False, "message": message}, status=422)
    cards = [render_to_string("ware/_photo.html", {"photo": each}, request) for each in added]
    return JsonResponse({"ok": True, "html": "".join(cards)})


@only(*STAFF, Role.STUDENT)
@require_safe
def pot_photo_card(request: HttpRequest, pk: UUID) -> HttpResponse:
    """One photo as it stands now, for a page that waits for it to be read."""
    html = render_to_string("ware/_photo.html", {"photo": _seen(request, pk)}, request)
    return HttpResponse(html)


@only(*STAFF, Role.STUDENT)
@require_safe
def pot_photo_image(request: HttpRequest, pk: UUID, size: str) -> HttpResponseBase:
    """Whoever sees the pot sees its photos."""
    return image_response(request, _seen(request, pk).image, size)


def _seen(request: HttpRequest, pk: UUID) -> PotPhoto:
    rows = of_seen_pots(PotPhoto.objects.select_related("image"), person_of(request))
    return get_object_or_404(rows, pk=pk)
