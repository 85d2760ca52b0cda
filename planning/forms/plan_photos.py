"""A photo of a full-size drawing: sending it, saying its scale, tapping, correcting."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.forms.drawings import ACCEPT
from planning.forms.lines import TALLEST_MM
from planning.models import PlanPhoto
from planning.models.plan_photo import Row
from planning.services.plan_photos import Scaled, scale_problems
from planning.tracing.run import LEAST_SPACING_MM, MOST_SPACING_MM
from studio.units.scales import Units
from studio.web.fields import LengthField, set_units
from studio.web.shown import length_text

POINTS = {
    PlanPhoto.Scale.FOUR: (
        _("lower line, left end"),
        _("lower line, right end"),
        _("upper line, right end"),
        _("upper line, left end"),
    ),
    PlanPhoto.Scale.TWO: (_("lower point"), _("upper point")),
}


class _InUnits(forms.Form):
    def __init__(self, *args: Any, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        set_units(self, units)


class ScaleForm(_InUnits):
    """What says how large the drawing is."""

    spacing = LengthField(
        label=_("A height line every"),
        help_text=_("Leave it empty if you don't know: usual spacings are tried."),
        required=False,
        at_least=LEAST_SPACING_MM,
        at_most=MOST_SPACING_MM,
    )
    scale = forms.ChoiceField(
        label=_("What says how large it is?"),
        choices=PlanPhoto.Scale.choices,
        widget=forms.RadioSelect,
        initial=PlanPhoto.Scale.CARD,
    )
    lower = LengthField(
        label=_("Lower line or point, above the table"), required=False, at_most=TALLEST_MM
    )
    upper = LengthField(
        label=_("Upper line or point, above the table"), required=False, at_most=TALLEST_MM
    )
    left = LengthField(
        label=_("Left ends, from the middle line"), required=False, at_most=TALLEST_MM
    )
    right = LengthField(
        label=_("Right ends, from the middle line"), required=False, at_most=TALLEST_MM
    )
    MEASURES = ("lower", "upper", "left", "right")

    def scaled(self) -> Scaled:
        cleaned = self.cleaned_data
        scale, spacing = cleaned["scale"], cleaned.get("spacing")
        if scale == PlanPhoto.Scale.CARD:
            return Scaled(scale, spacing)
        measures = {f"{name}_mm": cleaned.get(name) for name in self.MEASURES}
        if scale == PlanPhoto.Scale.TWO:
            measures |= {"left_mm": None, "right_mm": None}
        # An empty height of the lower one is the table itself.
        measures["lower_mm"] = measures["lower_mm"] or 0.0
        return Scaled(scale, spacing, **measures)


class PlanPhotoForm(ScaleForm):
    photo = forms.FileField(
        label=_("Photo of your drawing"),
        help_text=_("From straight above, all of the drawing in it. JPEG, PNG, WebP, HEIC or PDF."),
        widget=forms.ClearableFileInput(attrs={"accept": ACCEPT}),
        allow_empty_file=True,  # refused in our own words where it is received
    )
    shows = forms.ChoiceField(
        label=_("It shows"),
        choices=PlanPhoto.Shows.choices,
        widget=forms.RadioSelect,
        initial=PlanPhoto.Shows.FRONT,
    )
    field_order = ("photo", "shows", "spacing", "scale", *ScaleForm.MEASURES)

    def clean(self) -> None:
        """Measures that lack are said together with whatever else keeps the photo from being
        sent: it has to be chosen anew each time."""
        if "scale" in self.cleaned_data and "shows" in self.cleaned_data:
            for problem in scale_problems(self.cleaned_data["shows"], self.scaled()):
                if problem.field not in self.errors:
                    self.add_error(problem.field, problem.message)


class TapsForm(forms.Form):
    """Pixels of the photo from its upper left corner, two fields for each point."""

    def __init__(self, *args: Any, photo: PlanPhoto, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.points = POINTS[PlanPhoto.Scale(photo.scale)]
        sizes = {"x": photo.image.width or 0, "y": photo.image.height or 0}
        labels = {"x": _("%(point)s: from the left"), "y": _("%(point)s: from the top")}
        for place, point in enumerate(self.points):
            for axis, size in sizes.items():
                self.fields[f"{axis}_{place}"] = forms.FloatField(
                    label=labels[axis] % {"point": str(point).capitalize()},
                    min_value=0,
                    max_value=size,
                    initial=photo.taps[place]["xy".index(axis)] if photo.taps else None,
                    error_messages={"required": _("Tap this point in the photo.")},
                )

    def taps(self) -> list[list[float]]:
        cleaned = self.cleaned_data
        return [[cleaned[f"x_{n}"], cleaned[f"y_{n}"]] for n in range(len(self.points))]


class ByHandForm(_InUnits):
    height = LengthField(
        label=_("Height of your drawing, table to rim"), at_least=20, at_most=TALLEST_MM
    )
    every = LengthField(
        label=_("A height line every"), at_least=LEAST_SPACING_MM, at_most=MOST_SPACING_MM
    )
    sides = forms.ChoiceField(
        label=_("You drew"),
        choices=PlanPhoto.Sides.choices,
        widget=forms.RadioSelect,
        initial=PlanPhoto.Sides.BOTH,
    )


class LinesForm(forms.Form):
    """Half-widths at the height lines of a photo, whichever sides are drawn, and which asking they
    are the answer to: in another window it may be traced anew."""

    asked = forms.IntegerField(required=False, min_value=0, widget=forms.HiddenInput)

    def __init__(self, *args: Any, photo: PlanPhoto, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.photo = photo
        self.fields["asked"].initial = photo.asked
        named = {"left": _("Left"), "right": _("Right")}
        if photo.shows == PlanPhoto.Shows.SIDE:
            named = {"left": _("Front"), "right": _("Back")}
        if photo.sides != PlanPhoto.Sides.BOTH:
            named = {photo.sides: _("Half-width")}
        self.columns = list(named.values())
        for place, (height, left, right) in enumerate(photo.lines):
            at = length_text(height or 0, units)
            for name, label in named.items():
                self.fields[f"{name}_{place}"] = LengthField(
                    label=_("%(side)s at %(height)s") % {"side": label, "height": at},
                    required=False,
                    at_most=TALLEST_MM,
                    units=units,
                    initial=left if name == "left" else right,
                )
        self.names = tuple(named)

    def rows(self) -> list[tuple[float, list[forms.BoundField]]]:
        """For the page: each height with its fields, the rim first as in the picture."""
        return [
            (float(height or 0), [self[f"{name}_{place}"] for name in self.names])
            for place, (height, *_halves) in reversed(list(enumerate(self.photo.lines)))
        ]

    def halves(self) -> list[tuple[float | None, float | None]]:
        """From below; a half that isn't drawn is like the other."""
        cleaned = self.cleaned_data
        return [
            (cleaned[f"{self.names[0]}_{n}"], cleaned[f"{self.names[-1]}_{n}"])
            for n in range(len(self.photo.lines))
        ]

    def lines(self) -> list[Row]:
        """As the photo would keep them."""
        heights: Sequence[float | None] = [height for height, *_halves in self.photo.lines]
        return [[h, *halves] for h, halves in zip(heights, self.halves(), strict=True)]
