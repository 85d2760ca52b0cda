"""What is said about one pot."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.forms.drawings import PhotosField
from studio.people.models import Studio
from studio.room.forms.fields import text
from studio.room.models import Glaze
from studio.ware.models import (
    Cause,
    Flaw,
    GlazeCheck,
    GreenwareCheck,
    Loss,
    Lost,
    Occasion,
    Place,
    Stage,
)
from studio.web.columns import column, limits
from studio.web.fields import LengthField
from studio.web.forms import offer, offer_choices


class StageForm(forms.Form):
    """A step, by its button; a reason where one is asked for."""

    stage = forms.ChoiceField(label=_("Stage"), choices=Stage.choices)
    reason = forms.CharField(label=_("Why"), required=False, max_length=400)


class BackForm(forms.Form):
    """A step back, with its reason."""

    stage = forms.ChoiceField(label=_("It goes back to"))
    reason = forms.CharField(label=_("Why it goes back"), max_length=400)

    def __init__(self, *args: Any, stages: tuple[str, ...], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer_choices(self, stage=[(stage, Stage(stage).label) for stage in stages])


class PotPlaceForm(forms.Form):
    place = forms.ModelChoiceField(
        Place.objects.none(), label=_("Where it stands"), empty_label=_("choose a place")
    )

    def __init__(self, *args: Any, studio: Studio, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, place=Place.objects.in_use().filter(studio=studio))


class GreenwareForm(forms.Form):
    """Sizes as they are measured; limits are those of the columns."""

    height_mm = LengthField(label=_("Height, with everything on it"))
    front_mm = LengthField(
        label=_("Width at the widest"), help_text=_("Across handles and spouts too.")
    )
    depth_mm = LengthField(
        label=_("Depth at the deepest"),
        help_text=_("Turned by a quarter; the same if it is round."),
    )
    thickest_mm = LengthField(
        label=_("Thickest place"), help_text=_("Mostly where the wall meets the base.")
    )
    cracks = text(GreenwareCheck, "cracks", help_text=_("Where, and what was done about them."))
    code_legible = forms.BooleanField(label=_("I can read the code in the base"), required=False)
    confirm = forms.BooleanField(
        label=_("I measured again, and it is so"), required=False, widget=forms.HiddenInput
    )

    def __init__(self, *args: Any, studio: Studio, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("height_mm", "front_mm", "depth_mm", "thickest_mm"):
            field = self.fields[name]
            if isinstance(field, LengthField):
                field.units = studio
                field.at_least, field.at_most = limits(column(GreenwareCheck, name))

    def ask(self) -> None:
        """Show the tick by which odd sizes are confirmed."""
        self.fields["confirm"].widget = forms.CheckboxInput()


class ReasonForm(forms.Form):
    reason = forms.CharField(label=_("Why"), max_length=400)


class GlazeForm(forms.Form):
    glazes = forms.ModelMultipleChoiceField(
        Glaze.objects.none(),
        label=_("What is on it"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Choose the glazes that are on the pot.")},
    )
    foot_clean = forms.BooleanField(
        label=_("The foot is clean, and so is a finger's width above it"), required=False
    )
    thickness_fits = forms.BooleanField(
        label=_("The glaze is neither too thick nor too thin"), required=False
    )
    note = text(GlazeCheck, "note")

    def __init__(self, *args: Any, studio: Studio, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, glazes=Glaze.objects.in_use().filter(studio=studio))


class FlawForm(forms.Form):
    what = text(Flaw, "what", label=_("What it is, and where"))
    mended = text(Flaw, "mended")


class LossForm(forms.Form):
    kind = forms.ChoiceField(
        label=_("What happened"), choices=Lost.choices, widget=forms.RadioSelect
    )
    cause = forms.ChoiceField(label=_("What it came from"), choices=Cause.choices, required=False)
    note = text(Loss, "note", label=_("In a few words"))


class CauseForm(forms.Form):
    cause = forms.ChoiceField(label=_("Cause"), choices=Cause.choices)


class PotPhotosForm(forms.Form):
    photos = PhotosField(
        label=_("Photos of the pot"),
        help_text=_("From the side, the rim level with the lens. JPEG, PNG, WebP or HEIC."),
    )
    occasion = forms.ChoiceField(label=_("When"), choices=Occasion.choices)
