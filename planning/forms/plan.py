"""The measured plan but for its height lines: outlines, wall and base, foot ring, added parts."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.geometry.inputs import FootRing, Outline
from planning.plans.inputs import MOST_LINES, Drawn, Line, first_lines
from studio.units.scales import Units
from studio.web.fields import LengthField, MassField, set_mass_units, set_units
from studio.web.forms import offer_choices

from .lines import TALLEST_MM

SHAPES = (
    ("round", _("round")),
    ("oval", _("oval")),
    ("leaf", _("a leaf, pointed at both ends")),
    ("rounded_square", _("a rounded square")),
)
TRACED = ("traced", _("as I traced it"))
DEEP = ("oval", "leaf", "rounded_square")
DEPTH_MISSING = {
    "oval": _("Say how deep the oval is: 70 is a bit flat."),
    "leaf": _("Say how deep the leaf is: 50 is half as deep as from tip to tip."),
}
MOST_ADDED_G = 20_000


class FirstLinesForm(forms.Form):
    """Where a plan begins: how tall, and how far apart the height lines are drawn."""

    height = LengthField(label=_("Height of your drawing, table to rim"), at_least=20)
    every = LengthField(label=_("A height line every"), at_least=5)

    def __init__(self, *args: Any, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        set_units(self, units)

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


def _depth() -> forms.DecimalField:
    return forms.DecimalField(
        label=_("How deep, in % of its width"),
        min_value=10,
        max_value=1000,
        max_digits=6,
        decimal_places=2,
        required=False,
    )


def _corner() -> forms.DecimalField:
    return forms.DecimalField(
        label=_("How round the corners are, in %"),
        help_text=_("0 is a sharp corner, 100 no corner at all."),
        min_value=0,
        max_value=100,
        max_digits=5,
        decimal_places=2,
        required=False,
    )


class PlanForm(forms.Form):
    """Everything of the plan but its height lines.

    `traced` are the points of a traced outline, where there is one; they outlast a save with
    another outline. With a side drawing (`has_side`) the depth in % may stay empty.
    """

    outline = forms.ChoiceField(label=_("Seen from above it is"), widget=forms.RadioSelect)
    depth_pct = _depth()
    corner_pct = _corner()
    rim_outline = forms.ChoiceField(
        label=_("At the rim it is"), widget=forms.RadioSelect, required=False
    )
    rim_depth_pct = _depth()
    rim_corner_pct = _corner()
    drawn_as = forms.ChoiceField(
        label=_("The drawing shows the pot"),
        choices=(("wet", _("as you build it, in wet clay")), ("fired", _("as it comes out fired"))),
        widget=forms.RadioSelect,
    )
    wall_base = LengthField(label=_("Wall at the base"), at_least=1, at_most=100)
    wall_rim = LengthField(label=_("Wall at the rim"), at_least=1, at_most=100)
    base = LengthField(label=_("Thickness of the base"), at_least=1, at_most=100)
    foot_width = LengthField(label=_("How wide the ring is"), required=False, at_most=200)
    foot_height = LengthField(label=_("How high"), required=False, at_most=200)
    added = MassField(
        label=_("Wet clay for handles and other added parts"),
        required=False,
        at_most=MOST_ADDED_G,
    )
    uneven_on_purpose = forms.BooleanField(
        label=_("Left and right are uneven on purpose"),
        help_text=_("The clay is computed from their mean; both sides are kept."),
        required=False,
    )

    def __init__(
        self,
        *args: Any,
        units: Units,
        traced: tuple[tuple[float, float], ...] = (),
        has_side: bool = False,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        set_units(self, units)
        set_mass_units(self, units)
        self.traced, self.has_side = traced, has_side
        shapes = (*SHAPES, TRACED) if traced else SHAPES
        same = ("", _("the same as below"))
        offer_choices(self, outline=shapes, rim_outline=(same, *shapes))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for rim in ("", "rim_"):
            self._clean_outline(cleaned, rim)
        width, height = cleaned.get("foot_width"), cleaned.get("foot_height")
        if width and not height and "foot_height" not in self.errors:
            self.add_error("foot_height", _("Say how high the ring is, or leave its width away."))
        if height and not width and "foot_width" not in self.errors:
            self.add_error("foot_width", _("Say how wide the ring is, or leave its height away."))
        return cleaned

    def _clean_outline(self, cleaned: dict[str, Any], rim: str) -> None:
        shape = cleaned.get(f"{rim}outline")
        depth, corner = f"{rim}depth_pct", f"{rim}corner_pct"
        # What the chosen shape doesn't use can't be wrong.
        if shape not in DEEP:
            self.errors.pop(depth, None)
        if shape != "rounded_square":
            self.errors.pop(corner, None)
        missing = DEPTH_MISSING.get(shape or "")
        if (
            missing
            and not self.has_side
            and cleaned.get(depth) is None
            and depth not in self.errors
        ):
            self.add_error(depth, missing)
        if shape == "rounded_square" and cleaned.get(corner) is None and corner not in self.errors:
            self.add_error(corner, _("Say how round the corners are: 30 is a soft corner."))

    @property
    def rim_open(self) -> bool:
        return self._used("rim_outline", "rim_depth_pct", "rim_corner_pct")

    @property
    def foot_open(self) -> bool:
        return self._used("foot_width", "foot_height")

    @property
    def added_open(self) -> bool:
        return self._used("added")

    def _used(self, *names: str) -> bool:
        """Something stands in one of these fields, or is wrong with it."""
        return any(self[name].value() not in (None, "") or name in self.errors for name in names)

    def outline_entered(self, rim: str = "") -> Outline:
        shape = self.cleaned_data[f"{rim}outline"]
        depth = self.cleaned_data.get(f"{rim}depth_pct") if shape in DEEP else None
        corner = self.cleaned_data.get(f"{rim}corner_pct") if shape == "rounded_square" else None
        keeps = not rim or shape == "traced"
        return Outline(
            shape,
            depth_ratio=1.0 if depth is None else float(depth) / 100,
            corner_ratio=float(corner or 0) / 100,
            points=self.traced if keeps else (),
        )

    def drawn(self, lines: tuple[Line, ...]) -> Drawn:
        """The plan as entered with its height lines, in their order. The form is valid."""
        cleaned = self.cleaned_data
        width, height = cleaned["foot_width"], cleaned["foot_height"]
        return Drawn(
            lines=lines,
            outline=self.outline_entered(),
            rim_outline=self.outline_entered("rim_") if cleaned["rim_outline"] else None,
            foot_ring=FootRing(width, height) if width and height else None,
            added_g=cleaned["added"] or 0.0,
            drawn_as=cleaned["drawn_as"],
            wall_base_mm=cleaned["wall_base"],
            wall_rim_mm=cleaned["wall_rim"],
            base_mm=cleaned["base"],
            uneven_on_purpose=cleaned["uneven_on_purpose"],
        )


def plan_initial(drawn: Drawn) -> dict[str, Any]:
    ring = drawn.foot_ring
    return {
        **_outline_initial(drawn.outline),
        **(_outline_initial(drawn.rim_outline, "rim_") if drawn.rim_outline else {}),
        "drawn_as": drawn.drawn_as,
        "wall_base": drawn.wall_base_mm,
        "wall_rim": drawn.wall_rim_mm,
        "base": drawn.base_mm,
        "foot_width": ring.width_mm if ring else None,
        "foot_height": ring.height_mm if ring else None,
        "added": drawn.added_g or None,
        "uneven_on_purpose": drawn.uneven_on_purpose,
    }


def _outline_initial(outline: Outline, rim: str = "") -> dict[str, Any]:
    initial: dict[str, Any] = {f"{rim}outline": outline.shape}
    if outline.shape in DEEP:
        initial[f"{rim}depth_pct"] = f"{outline.depth_ratio * 100:.6g}"
    if outline.shape == "rounded_square":
        initial[f"{rim}corner_pct"] = f"{outline.corner_ratio * 100:.6g}"
    return initial


def traced_points(drawn: Drawn) -> tuple[tuple[float, float], ...]:
    """The points of a traced outline that the plan keeps, used or not."""
    return drawn.outline.points or (drawn.rim_outline.points if drawn.rim_outline else ())
