"""Sending scans of a class's sheets, and saying whose a page is."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.forms.drawings import PhotosField
from planning.models import Piece
from planning.photos.scan_limits import MOST_PAGES
from studio.web.forms import offer_choices

TOPS = (
    ("top", _("at the top")),
    ("bottom", _("at the bottom: it is upside down")),
    ("left", _("on the left")),
    ("right", _("on the right")),
)


class ScansForm(forms.Form):
    scans = PhotosField(
        label=_("Scan of the sheets"),
        error_messages={"required": _("Choose the scan first.")},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        message = _(
            "One PDF of up to %(most)d pages, at 200 or 300 dpi, grey or in colour; the pages may "
            "lie any way up. Pictures of one sheet each are read too."
        )
        self.fields["scans"].help_text = message % {"most": MOST_PAGES}


class GivePageForm(forms.Form):
    """Whose a page is. Many stand on one page, so that the pieces come as they were fetched."""

    piece = forms.ChoiceField(
        label=_("Whose is it?"), error_messages={"required": _("Choose a student first.")}
    )
    top = forms.ChoiceField(
        label=_("Its top is"),
        choices=TOPS,
        error_messages={"required": _("Say where the top of the page is.")},
    )

    def __init__(self, *args: Any, pieces: Sequence[Piece], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._pieces = {str(piece.pk): piece for piece in pieces}
        named = [(pk, f"{piece.student.name}, {piece.code}") for pk, piece in self._pieces.items()]
        offer_choices(self, piece=[("", _("choose")), *named])

    def chosen(self) -> Piece:
        return self._pieces[self.cleaned_data["piece"]]
