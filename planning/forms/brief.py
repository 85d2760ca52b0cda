"""A brief, its copy, and giving it to classes."""

from collections.abc import Iterator
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.forms.boundfield import BoundField
from django.utils.translation import gettext_lazy as _

from planning.models import Brief, Surface
from planning.models.brief import TERMS
from planning.services.briefs import terms_of
from studio.people.forms.classes import date_field
from studio.people.models import Section, Studio
from studio.room.models import ClayBody
from studio.web.columns import column, label, limits
from studio.web.fields import LengthField, set_units

# How the page parts the fields: a title, whether they stand side by side, and their names.
GROUPS = (
    (_("What to make"), False, ("title", "what_to_make", "surface", "firings")),
    (
        _("How large it may be, fired"),
        True,
        (
            "min_fired_height_mm",
            "max_fired_height_mm",
            "max_fired_width_mm",
            "max_fired_depth_mm",
        ),
    ),
    (
        _("How much exploring"),
        True,
        ("least_thumbnails", "least_source_forms", "least_refinements", "least_distinct_ideas"),
    ),
    (
        _("Clay, as it is built"),
        True,
        ("wall_mm", "base_mm", "coil_mm", "corner_coil_mm"),
    ),
    (
        _("How it is built"),
        True,
        ("rows_per_blend", "rise_per_lesson_mm", "soft_wall_mm", "longest_coil_mm"),
    ),
    (_("When a pot is near enough to its plan"), True, ("tolerance_mm", "tolerance_pct")),
    ("", False, ("clay_body", "working_allowance_pct")),
)


def _text(name: str, **kwargs: Any) -> forms.CharField:
    field = column(Brief, name)
    return forms.CharField(label=label(field), max_length=field.max_length, **kwargs)


def _length(name: str, **kwargs: Any) -> LengthField:
    field = column(Brief, name)
    least, most = limits(field)
    return LengthField(label=label(field), at_least=least, at_most=most, **kwargs)


def _count(name: str, **kwargs: Any) -> forms.IntegerField:
    field = column(Brief, name)
    least, most = limits(field)
    widget = forms.NumberInput(attrs={"inputmode": "numeric"})
    return forms.IntegerField(
        label=label(field), min_value=least, max_value=most, widget=widget, **kwargs
    )


def _percentage(name: str, most: int = 100, **kwargs: Any) -> forms.DecimalField:
    attrs = {"inputmode": "decimal", "autocomplete": "off", "maxlength": 20}
    return forms.DecimalField(
        label=label(column(Brief, name)),
        min_value=0,
        max_value=most,
        decimal_places=2,
        widget=forms.TextInput(attrs=attrs),
        **kwargs,
    )


class BriefForm(forms.Form):
    title = _text("title")
    what_to_make = _text(
        "what_to_make",
        widget=forms.Textarea,
        help_text=_("Your students read this first. Say what to look for, not only what to make."),
    )
    surface = forms.ChoiceField(
        label=label(column(Brief, "surface")), choices=Surface.choices, widget=forms.RadioSelect
    )
    firings = _text(
        "firings", required=False, help_text=_("Such as: bisque to cone 06, then glaze to cone 6.")
    )
    min_fired_height_mm = _length("min_fired_height_mm")
    max_fired_height_mm = _length("max_fired_height_mm")
    max_fired_width_mm = _length("max_fired_width_mm")
    max_fired_depth_mm = _length("max_fired_depth_mm")
    least_thumbnails = _count("least_thumbnails")
    least_source_forms = _count("least_source_forms")
    least_refinements = _count("least_refinements")
    least_distinct_ideas = _count("least_distinct_ideas", required=False)
    wall_mm = _length("wall_mm")
    base_mm = _length("base_mm")
    coil_mm = _length("coil_mm")
    corner_coil_mm = _length("corner_coil_mm", help_text=_("Inside, at the base. 0 for none."))
    rows_per_blend = _count(
        "rows_per_blend", help_text=_("Where a hand no longer fits, rows are worked one by one.")
    )
    rise_per_lesson_mm = _length(
        "rise_per_lesson_mm", help_text=_("Along the wall. It sets “by Friday here” on each plan.")
    )
    soft_wall_mm = _length(
        "soft_wall_mm", help_text=_("Then the lower wall stiffens before it carries more.")
    )
    longest_coil_mm = _length(
        "longest_coil_mm",
        required=False,
        help_text=_("Longer rows take several coils. Empty: as long as they come."),
    )
    tolerance_mm = _length("tolerance_mm")
    tolerance_pct = _percentage("tolerance_pct", most=20)
    clay_body = forms.ModelChoiceField(
        label=label(column(Brief, "clay_body")),
        queryset=ClayBody.objects.none(),
        empty_label=_("Choose one"),
    )
    working_allowance_pct = _percentage(
        "working_allowance_pct", help_text=column(Brief, "working_allowance_pct").help_text
    )

    def __init__(self, *args: Any, studio: Studio, brief: Brief | None, **kwargs: Any) -> None:
        kwargs["initial"] = _initial(brief)
        super().__init__(*args, **kwargs)
        set_units(self, studio)
        bodies = ClayBody.objects.filter(studio=studio)
        kept = bodies.filter(pk=brief.clay_body_id) if brief else bodies.none()
        body = self.fields["clay_body"]
        if isinstance(body, forms.ModelChoiceField):
            body.queryset = (bodies.in_use() | kept).order_by("name")

    def groups(self) -> Iterator[dict[str, Any]]:
        for title, side_by_side, names in GROUPS:
            fields: list[BoundField] = [self[name] for name in names]
            yield {"title": title, "side_by_side": side_by_side, "fields": fields}

    def terms(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in TERMS}


class CopyForm(forms.Form):
    title = _text("title", help_text=_("Such as the project's name and the term."))


class GiveForm(forms.Form):
    sections = forms.ModelMultipleChoiceField(
        label=_("Classes"),
        queryset=Section.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Choose at least one class.")},
    )
    given_on = date_field(_("Given on"), help_text=_("The first lesson with this project."))
    due_on = date_field(
        _("Due on"),
        help_text=_("The day on which the pots stand built. Drying and firing come after it."),
    )

    def __init__(self, *args: Any, classes: QuerySet[Section], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        sections = self.fields["sections"]
        if isinstance(sections, forms.ModelMultipleChoiceField):
            sections.queryset = classes


def _initial(brief: Brief | None) -> dict[str, Any]:
    """The brief's own terms; for a new one what is usual for a first coil pot."""
    if brief is None:
        usual = {name: column(Brief, name).get_default() for name in TERMS}
        # Common practice, no source: a wall of 8 mm from coils of 14 mm on a slab of 10 mm.
        return usual | {"wall_mm": 8, "base_mm": 10, "coil_mm": 14, "corner_coil_mm": 8}
    shares = ("working_allowance_pct", "tolerance_pct")
    return {
        **terms_of(brief),
        "title": brief.title,
        "clay_body": brief.clay_body_id,
        **{name: f"{getattr(brief, name).normalize():f}" for name in shares},
    }
