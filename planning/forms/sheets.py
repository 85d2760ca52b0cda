"""Photos of whole sheets, and the boxes around their drawings."""

from collections.abc import Sequence
from typing import Any, cast

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.forms.drawings import PhotosField
from planning.models import Piece, Sheet, SourceForm
from planning.services.sheets import MOST_BOXES
from planning.splitting.boxes import Box
from studio.web.forms import offer


class SheetsForm(forms.Form):
    sheet = PhotosField(
        label=_("Photo of a whole sheet"),
        help_text=_(
            "Several drawings on one page: they are found on the photo, and you look whether each "
            "has its box."
        ),
    )


class TakeSheetForm(forms.Form):
    """Lies outside of its form, which is laid anew with the boxes, and belongs to it by its id."""

    source_form = forms.ModelChoiceField(
        SourceForm.objects.none(),
        label=_("What did they grow from?"),
        help_text=_("Said of all drawings of this sheet; you can change it for each of them."),
        required=False,
        empty_label=_("say it later, for each"),
        error_messages={"invalid_choice": _("Choose a source form from the list.")},
        widget=forms.Select(attrs={"form": "take-sheet"}),
    )

    def __init__(self, *args: Any, piece: Piece, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, source_form=SourceForm.objects.offered_in(piece.studio_id))


class BoxForm(forms.Form):
    """One box, in pixels of the photo from its upper left corner; or none, where all is empty."""

    x = forms.FloatField(label=_("from the left"))
    y = forms.FloatField(label=_("from the top"))
    width = forms.FloatField(label=_("width"))
    height = forms.FloatField(label=_("height"))
    split = forms.BooleanField(label=_("split"), required=False)
    left_out = forms.BooleanField(label=_("remove"), required=False)


class _Boxes(forms.BaseFormSet[BoxForm]):
    def add_fields(self, form: BoxForm, index: int | None) -> None:
        super().add_fields(form, index)
        number = _("Box %(n)d") % {"n": (index or 0) + 1}
        for field in form.fields.values():
            field.widget.attrs["aria-label"] = f"{number}: {field.label}"

    def boxes(self) -> list[list[float]]:
        """Those that are filled in and not to be removed; valid."""
        return [[row["x"], row["y"], row["width"], row["height"]] for row in self._kept()]

    def split(self) -> list[int]:
        """The places in `boxes` of those that are to be cut in two."""
        return [place for place, row in enumerate(self._kept()) if row["split"]]

    def _kept(self) -> list[dict[str, Any]]:
        rows = (form.cleaned_data for form in self.forms)
        return [row for row in rows if row.get("x") is not None and not row["left_out"]]


# One more than the most is read, so that the service says how many they may be.
_Formset = forms.formset_factory(
    BoxForm, formset=_Boxes, extra=2, max_num=MOST_BOXES, absolute_max=MOST_BOXES + 1
)


def boxes_form(sheet: Sheet, posted: Any = None) -> _Boxes:
    """A row for each box, and two empty ones for boxes that are added."""
    # What is posted is taken as it is: a row that was left as it stood is a box too.
    rows = None if posted is not None else _rows(sheet.boxes or [])
    return cast("_Boxes", _Formset(posted, initial=rows, prefix="box"))


def _rows(boxes: Sequence[Box]) -> list[dict[str, int]]:
    return [dict(zip(("x", "y", "width", "height"), box, strict=True)) for box in boxes]
