"""The height lines of a plan: one row of fields each, the side drawing's two among them."""

from typing import Any

from django import forms
from django.forms import BaseFormSet, formset_factory
from django.forms.boundfield import BoundField
from django.utils.translation import gettext_lazy as _

from planning.plans.inputs import MOST_LINES, Drawn, Line
from studio.units.scales import Units
from studio.web.fields import LengthField, set_units

TALLEST_MM = 2000
FRONT = ("height", "left", "right")
SIDE = ("front", "back")


class LineForm(forms.Form):
    height = LengthField(label=_("Height"), required=False, at_most=TALLEST_MM)
    left = LengthField(label=_("Left"), required=False, at_most=TALLEST_MM)
    right = LengthField(label=_("Right"), required=False, at_most=TALLEST_MM)
    front = LengthField(label=_("Front"), required=False, at_most=TALLEST_MM)
    back = LengthField(label=_("Back"), required=False, at_most=TALLEST_MM)

    def __init__(self, *args: Any, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        set_units(self, units)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        widths = any(cleaned.get(name) is not None for name in (*FRONT[1:], *SIDE))
        if widths and cleaned.get("height") is None and "height" not in self.errors:
            self.add_error("height", _("At which height?"))
        return cleaned

    def line(self) -> Line | None:
        height, *widths = (self.cleaned_data.get(name) for name in (*FRONT, *SIDE))
        return None if height is None else Line(height, *widths)

    @property
    def of_the_front(self) -> list[BoundField]:
        return [self[name] for name in FRONT]

    @property
    def of_the_side(self) -> list[BoundField]:
        return [self[name] for name in SIDE]

    @property
    def has_height(self) -> bool:
        return self["height"].value() not in (None, "")

    @property
    def height_mm(self) -> float | None:
        """The line's height as far as it is known, to say which line this is."""
        known = self.cleaned_data if self.is_bound else self.initial
        height: float | None = known.get("height")
        return height

    @property
    def has_side(self) -> bool:
        """Something stands in the side drawing's fields, or is wrong with it."""
        given = any(field.value() not in (None, "") for field in self.of_the_side)
        return given or any(name in self.errors for name in SIDE)


LinesFormSet: type[BaseFormSet[LineForm]] = formset_factory(
    LineForm, extra=2, max_num=MOST_LINES, validate_max=True, absolute_max=MOST_LINES + 2
)


def lines_initial(drawn: Drawn) -> list[dict[str, Any]]:
    return [
        {
            "height": line.height_mm,
            "left": line.left_mm,
            "right": line.right_mm,
            "front": line.front_mm,
            "back": line.back_mm,
        }
        for line in drawn.lines
    ]


def lines_entered(lines: BaseFormSet[LineForm]) -> list[tuple[int, Line]]:
    """Place in the form and line, in order of height: one added at the end finds its place."""
    entered = [(row, line) for row, each in enumerate(lines.forms) if (line := each.line())]
    return sorted(entered, key=lambda each: each[1].height_mm)
