"""The measured plan: the wall and the outline, and one row of fields for each height line."""

from typing import Any

from django import forms
from django.forms import BaseFormSet, formset_factory
from django.utils.translation import gettext_lazy as _

from planning.geometry.inputs import Outline
from planning.plans.inputs import Drawn, Line, first_lines
from studio.units.scales import Units
from studio.web.fields import LengthField

MOST_LINES = 60
TALLEST_MM = 2000


class FirstLinesForm(forms.Form):
    """Where a plan begins: how tall, and how far apart the height lines are drawn."""

    height = LengthField(label=_("Height of your drawing, table to rim"), at_least=20)
    every = LengthField(label=_("A height line every"), at_least=5)

    def __init__(self, *args: Any, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _set_units(self, units)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        height, every = cleaned.get("height"), cleaned.get("every")
        if height and height > TALLEST_MM:
            self.add_error("height", _("That is too tall for a pot. Check the unit."))
        elif height and every and not 2 <= height / every <= MOST_LINES - 2:  # noqa: PLR2004
            message = _("That gives too few or too many lines. Ten or so are good.")
            self.add_error("every", message)
        return cleaned

    def lines(self) -> tuple[Line, ...]:
        return first_lines(self.cleaned_data["height"], self.cleaned_data["every"])


class PlanForm(forms.Form):
    """Everything of the plan but its height lines."""

    outline = forms.ChoiceField(
        label=_("Seen from above it is"),
        choices=(("round", _("round")), ("oval", _("oval"))),
        widget=forms.RadioSelect,
    )
    depth_pct = forms.DecimalField(
        label=_("An oval's depth, in % of its width"),
        min_value=10,
        max_value=1000,
        max_digits=6,
        decimal_places=2,
        required=False,
    )
    drawn_as = forms.ChoiceField(
        label=_("The drawing shows the pot"),
        choices=(("wet", _("as you build it, in wet clay")), ("fired", _("as it comes out fired"))),
        widget=forms.RadioSelect,
    )
    wall_base = LengthField(label=_("Wall at the base"), at_least=1, at_most=100)
    wall_rim = LengthField(label=_("Wall at the rim"), at_least=1, at_most=100)
    base = LengthField(label=_("Thickness of the base"), at_least=1, at_most=100)
    uneven_on_purpose = forms.BooleanField(
        label=_("Left and right are uneven on purpose"),
        help_text=_("The clay is computed from their mean; both sides are kept."),
        required=False,
    )

    def __init__(self, *args: Any, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _set_units(self, units)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        oval = cleaned.get("outline") == "oval"
        if oval and cleaned.get("depth_pct") is None and "depth_pct" not in self.errors:
            self.add_error("depth_pct", _("Say how deep the oval is: 70 is a bit flat."))
        return cleaned


class LineForm(forms.Form):
    height = LengthField(label=_("Height"), required=False, at_most=TALLEST_MM)
    left = LengthField(label=_("Left"), required=False, at_most=TALLEST_MM)
    right = LengthField(label=_("Right"), required=False, at_most=TALLEST_MM)

    def __init__(self, *args: Any, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _set_units(self, units)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        widths = cleaned.get("left") is not None or cleaned.get("right") is not None
        if widths and cleaned.get("height") is None and "height" not in self.errors:
            self.add_error("height", _("At which height?"))
        return cleaned

    def line(self) -> Line | None:
        cleaned = self.cleaned_data
        if cleaned.get("height") is None:
            return None
        return Line(cleaned["height"], cleaned.get("left"), cleaned.get("right"))


LinesFormSet: type[BaseFormSet[LineForm]] = formset_factory(
    LineForm, extra=2, max_num=MOST_LINES, validate_max=True, absolute_max=MOST_LINES + 2
)


def plan_initial(drawn: Drawn) -> dict[str, Any]:
    return {
        "outline": drawn.outline.shape,
        "depth_pct": round(drawn.outline.depth_ratio * 100, 2)
        if drawn.outline.shape == "oval"
        else None,
        "drawn_as": drawn.drawn_as,
        "wall_base": drawn.wall_base_mm,
        "wall_rim": drawn.wall_rim_mm,
        "base": drawn.base_mm,
        "uneven_on_purpose": drawn.uneven_on_purpose,
    }


def lines_initial(drawn: Drawn) -> list[dict[str, Any]]:
    return [
        {"height": line.height_mm, "left": line.left_mm, "right": line.right_mm}
        for line in drawn.lines
    ]


def drawn_from(form: PlanForm, lines: "BaseFormSet[LineForm]") -> Drawn:
    """The plan as entered, the lines in order of height. Both forms are valid."""
    cleaned = form.cleaned_data
    entered = [line for each in lines.forms if (line := each.line())]
    return Drawn(
        # A line added at the end of the form finds its place.
        lines=tuple(sorted(entered, key=lambda line: line.height_mm)),
        outline=Outline(cleaned["outline"], float(cleaned["depth_pct"] or 100) / 100),
        drawn_as=cleaned["drawn_as"],
        wall_base_mm=cleaned["wall_base"],
        wall_rim_mm=cleaned["wall_rim"],
        base_mm=cleaned["base"],
        uneven_on_purpose=cleaned["uneven_on_purpose"],
    )


def _set_units(form: forms.Form, units: Units) -> None:
    for field in form.fields.values():
        if isinstance(field, LengthField):
            field.units = units
