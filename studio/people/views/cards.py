"""Sign-in cards of a class, as a PDF that is made for this answer only."""

from collections.abc import Sequence
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache

from studio.paper.pages import PAGES
from studio.people.access import TEACHING, only, person_of
from studio.people.first_passwords import end_of_first_password
from studio.people.forms.studio import PaperForm
from studio.people.models import Section
from studio.people.selectors import without_own_password
from studio.people.services import (
    FirstPassword,
    give_first_passwords,
    prepare_first_passwords,
)
from studio.people.sheets.sign_in_cards import Card, sign_in_cards_pdf
from studio.web.shown import day_text


@only(*TEACHING)
@never_cache
def sign_in_cards(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    taught = Section.objects.taught_by(by).select_related("studio")
    section = get_object_or_404(taught, pk=pk)
    form = PaperForm(request.POST or None, initial={"paper": section.studio.paper})
    if form.is_valid():
        at = timezone.now()
        prepared = prepare_first_passwords(section=section, by=by)
        address = request.build_absolute_uri(reverse("sign_in", args=[section.studio.slug]))
        until = day_text(timezone.localtime(end_of_first_password(at)).date())
        cards = _cards(section, prepared, address, until)
        # Drawn before the passwords come into force: a failing print must lock nobody out.
        content = sign_in_cards_pdf(cards, PAGES[form.cleaned_data["paper"]])
        give_first_passwords(section=section, by=by, prepared=prepared, at=at)
        response = HttpResponse(content, content_type="application/pdf")
        response["Content-Disposition"] = 'attachment; filename="sign-in-cards.pdf"'
        return response
    context = {"form": form, "section": section, "wanted": len(without_own_password(section))}
    return render(request, "people/sign_in_cards.html", context)


def _cards(
    section: Section, prepared: Sequence[FirstPassword], address: str, until: str
) -> list[Card]:
    return [
        Card(
            name=each.person.name,
            section=section.title,
            studio=section.studio.name,
            slug=section.studio.slug,
            address=address,
            sign_in_name=each.person.username,
            password=each.password,
            until=until,
        )
        for each in prepared
    ]
