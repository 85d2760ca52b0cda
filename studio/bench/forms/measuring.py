"""Places on a pot, and heights, as they are measured."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.bench.measured import MOST_MM, Measured
from planning.rows.choices import MOST_ROWS
from studio.bench.models import BuildCheck, CarryOn, WallMeasure
from studio.bench.services.checks import MOST_PLACES
from studio.errors import Refused
from studio.people.models import Studio
from studio.room.forms.fields import length, text
from studio.web.fields import LengthField, set_units

SIZES = ("front_mm", "depth_mm", "perimeter_mm")


def _size(name: str, **kwargs: Any) -> LengthField:
    return LengthField(at_least=1.0, at_most=MOST_MM[name], **kwargs)


class PlaceForm(forms.Form):
    """One place on the pot. An empty form is a place that nobody measured."""

    height_mm = _size("height_mm", label=_("Height"))
    front_mm = _size("front_mm", label=_("Width"), required=False)
    depth_mm = _size("depth_mm", label=_("Depth"), required=False)
    perimeter_mm = _size(
        "perimeter_mm",
        label=_("Way round"),
        required=False,
        help_text=_("With a tape or a strip of paper."),
    )
    state = forms.ChoiceField(
        label=_("The clay there is"),
        choices=[("soft", _("soft")), ("stiff", _("stiff already"))],
        widget=forms.RadioSelect,
        initial="soft",
    )

    def __init__(self, *args: Any, studio: Studio, is_round: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if is_round:
            del self.fields["depth_mm"]
        set_units(self, studio)

    def has_changed(self) -> bool:
        """Whether something was measured: soft or stiff alone is nothing."""
        return any(name != "state" for name in self.changed_data)

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        sizes = [name for name in SIZES if name in self.fields]
        if not any(cleaned.get(name) or name in self.errors for name in sizes):
            self.add_error(
                "front_mm", _("Measure the width, the depth or the way round at this height.")
            )
        return cleaned

    @property
    def more_open(self) -> bool:
        """Whether the less usual measures are in use."""
        return any(self[name].value() or self[name].errors for name in self._less_usual)

    @property
    def _less_usual(self) -> list[str]:
        return [name for name in SIZES[1:] if name in self.fields]


class PlacesForms(forms.BaseFormSet[PlaceForm]):
    """Several places at once; at least one is measured. Any of them may stay empty, also one that
    came back with what was typed."""

    def initial_form_count(self) -> int:
        return 0

    @property
    def measured(self) -> list[Measured]:
        return [Measured(**form.cleaned_data) for form in self.filled]

    @property
    def filled(self) -> list[PlaceForm]:
        return [form for form in self.forms if form.has_changed()]

    def clean(self) -> None:
        if not any(self.errors) and not self.filled:
            raise forms.ValidationError(_("Measure one place at least: its height and its width."))

    def show(self, refusal: Refused) -> None:
        """Each reason at the field of the place that it belongs to; paths are `measured.0.front_mm`
        with places counted as they were given."""
        for problem in refusal.problems:
            _subject, _dot, rest = problem.field.partition(".")
            place, _dot, name = rest.partition(".")
            form = self.filled[int(place)] if place.isdigit() else None
            if form is None:
                self.non_form_errors().append(problem.message)
            else:
                form.add_error(name if name in form.fields else None, problem.message)


def places_forms(count: int) -> type[PlacesForms]:
    """So many empty places to begin with."""
    return forms.formset_factory(  # type: ignore[return-value]
        PlaceForm,
        formset=PlacesForms,
        extra=count,
        max_num=MOST_PLACES,
        absolute_max=MOST_PLACES,
    )


class HeightForm(forms.Form):
    """How high the wall stands after the first rows."""

    height_mm = length(WallMeasure, "height_mm", label=_("How high does the wall stand now?"))
    after_row = forms.IntegerField(min_value=1, widget=forms.HiddenInput)

    def __init__(self, *args: Any, studio: Studio, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        set_units(self, studio)


class StrikeForm(forms.Form):
    reason = text(BuildCheck, "reason", label=_("What was wrong with it"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["reason"].required = True


class AskForm(forms.Form):
    laid = forms.IntegerField(
        label=_("Rows that stand now"),
        min_value=1,
        max_value=MOST_ROWS,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )


class AnswerForm(forms.Form):
    note = text(
        CarryOn,
        "note",
        help_text=_("A no needs a line that says what to do instead."),
    )
