"""What a student says about drawings and the choice among them."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy as _

from planning.models import Piece, SourceForm, Thumbnail
from studio.web.forms import offer

ACCEPT = "image/jpeg,image/png,image/webp,image/heic,image/heif,application/pdf"


class _SeveralFiles(forms.ClearableFileInput):
    allow_multiple_selected = True


class PhotosField(forms.FileField):
    """One or more files; what is in them is judged where they are received."""

    widget = _SeveralFiles(attrs={"accept": ACCEPT})
    default_error_messages = {"required": _("Choose one or more photos first.")}

    def clean(self, data: Any, initial: Any = None) -> list[UploadedFile[bytes]]:
        files = data if isinstance(data, list) else [data]
        if not any(files):
            raise forms.ValidationError(self.error_messages["required"], code="required")
        # Empty and overlong-named files are refused one by one by the service.
        return [file for file in files if file]


class ThumbnailsForm(forms.Form):
    photos = PhotosField(
        label=_("Photos of your drawings"),
        help_text=_("One drawing per photo. Take several at once. JPEG, PNG, WebP, HEIC or PDF."),
    )
    source_form = forms.ModelChoiceField(
        SourceForm.objects.none(),
        label=_("What did they grow from?"),
        required=False,
        empty_label=_("say it later"),
    )

    def __init__(self, *args: Any, piece: Piece, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, source_form=SourceForm.objects.offered_in(piece.studio_id))


class RefinementsForm(forms.Form):
    photos = PhotosField(
        label=_("Photos of your refinements"),
        help_text=_("Drawings that take the chosen design further. JPEG, PNG, WebP, HEIC or PDF."),
    )


class ThumbnailForm(forms.Form):
    source_form = forms.ModelChoiceField(
        SourceForm.objects.none(),
        label=_("What did it grow from?"),
        required=False,
        empty_label=_("nothing from the list"),
    )
    note = forms.CharField(label=_("A note, if you want"), max_length=300, required=False)

    def __init__(self, *args: Any, drawing: Thumbnail, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        # The one that it has stays, though it may be offered no longer.
        offered = SourceForm.objects.offered_in(drawing.piece.studio_id)
        if drawing.source_form_id is not None:
            offered |= SourceForm.objects.filter(pk=drawing.source_form_id)
        offer(self, source_form=offered)


class ChoiceForm(forms.Form):
    thumbnail = forms.ModelChoiceField(
        Thumbnail.objects.none(),
        label=_("The one that you will build"),
        error_messages={"required": _("Pick one of your drawings.")},
    )
    reason = forms.CharField(
        label=_("Why this one?"),
        help_text=_("What does it have that the others don't? A sentence or two."),
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args: Any, thumbnails: Sequence[Thumbnail], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        ids = [each.pk for each in thumbnails]
        offer(self, thumbnail=Thumbnail.objects.filter(pk__in=ids))


class LetThroughForm(forms.Form):
    reason = forms.CharField(
        label=_("Why may this student choose already?"),
        help_text=_("Kept with the piece. The student doesn't see it."),
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
