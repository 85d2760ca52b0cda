"""A kiln as a tape measure and the maker's sheet say."""

from collections.abc import Iterator, Sequence
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.forms import BaseFormSet, formset_factory
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from studio.people.models import Studio, User
from studio.room.models import Kiln, PostSet, ShelfShape
from studio.room.services.kilns import ENERGY, HOURS, MOST_POSTS, ONE_MEASURE, PLAIN, Posts
from studio.units.scales import Units
from studio.web.columns import column, label, limits
from studio.web.fields import set_units
from studio.web.forms import offer

from .fields import figure, hour, length, text, whole
from .rows import RowForm, filled_rows

# How the page parts the fields: a title, a word of help, whether they stand side by side, names.
GROUPS: Sequence[tuple[Any, Any, bool, tuple[str, ...]]] = (
    (_("Name"), "", False, ("name",)),
    (
        _("Shelves and room inside"),
        _(
            "The width of a round shelf is its diameter, of an eight-sided one that across the "
            "flats. Depth is for oval and rectangular shelves."
        ),
        True,
        (
            "shelf_shape",
            "shelves",
            "half_shelves",
            "shelf_width_mm",
            "shelf_depth_mm",
            "shelf_thickness_mm",
            "usable_height_mm",
            "headroom_mm",
            "clearance_mm",
        ),
    ),
    (_("Heat"), "", False, ("most_c", "cooling_h", "unload_below_c")),
    (
        _("Energy and cost, if you like"),
        _("With power and lining a program's page says about what it takes here."),
        True,
        ENERGY,
    ),
    (
        _("Hours, on the studio's clock"),
        _("A span may pass midnight: from 21:30 until 06:00. The same time twice means any hour."),
        True,
        HOURS,
    ),
    (_("People and other kilns"), "", False, ("confirms_shut_off", "not_together_with", "note")),
)


class KilnForm(forms.Form):
    name = text(Kiln, "name", help_text=_("As it is called in the room."))
    shelf_shape = forms.ChoiceField(
        label=label(column(Kiln, "shelf_shape")), choices=ShelfShape.choices
    )
    shelves = whole(Kiln, "shelves")
    half_shelves = whole(Kiln, "half_shelves", required=False, initial=0)
    shelf_width_mm = length(Kiln, "shelf_width_mm")
    shelf_depth_mm = length(Kiln, "shelf_depth_mm", required=False)
    shelf_thickness_mm = length(Kiln, "shelf_thickness_mm")
    usable_height_mm = length(Kiln, "usable_height_mm")
    headroom_mm = length(Kiln, "headroom_mm", initial=15)
    clearance_mm = length(Kiln, "clearance_mm", initial=10)
    most_c = whole(Kiln, "most_c", help_text=_("From the maker's plate."))
    cooling_h = forms.FloatField(
        label=label(column(Kiln, "cooling_h")),
        help_text=column(Kiln, "cooling_h").help_text,
        initial=7,
        min_value=limits(column(Kiln, "cooling_h"))[0],
        max_value=limits(column(Kiln, "cooling_h"))[1],
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )
    unload_below_c = whole(
        Kiln,
        "unload_below_c",
        initial=50,
        help_text=_("Opened hotter, ware may crack and hands burn. Fired pots come out cool."),
    )
    power_kw = figure(Kiln, "power_kw")
    lining_mm = length(Kiln, "lining_mm", required=False)
    price_per_kwh = figure(Kiln, "price_per_kwh")
    currency = text(Kiln, "currency")
    start_from = hour(Kiln, "start_from")
    start_until = hour(Kiln, "start_until")
    off_from = hour(Kiln, "off_from")
    off_until = hour(Kiln, "off_until")
    confirms_shut_off = forms.ModelChoiceField(
        label=label(column(Kiln, "confirms_shut_off")),
        help_text=column(Kiln, "confirms_shut_off").help_text,
        queryset=User.objects.none(),
        empty_label=_("Choose one"),
    )
    not_together_with = forms.ModelMultipleChoiceField(
        label=_("Never fires together with"),
        help_text=_("Kilns on one circuit or under one hood."),
        queryset=Kiln.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    note = text(Kiln, "note")

    def __init__(self, *args: Any, studio: Studio, kiln: Kiln | None, **kwargs: Any) -> None:
        kwargs["initial"] = kiln_initial(kiln) if kiln else {}
        super().__init__(*args, **kwargs)
        set_units(self, studio)
        kilns = Kiln.objects.filter(studio=studio)
        if kiln:
            kilns = kilns.exclude(pk=kiln.pk)
        offer(self, confirms_shut_off=staff_of(studio), not_together_with=kilns)
        if not kilns:
            del self.fields["not_together_with"]

    def groups(self) -> Iterator[dict[str, Any]]:
        for title, help_text, side_by_side, names in GROUPS:
            fields = [self[name] for name in names if name in self.fields]
            yield {
                "title": title,
                "help": help_text,
                "side_by_side": side_by_side,
                "fields": fields,
            }

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("half_shelves") is None:
            cleaned["half_shelves"] = 0
        if cleaned.get("shelf_shape") in ONE_MEASURE:
            cleaned["shelf_depth_mm"] = cleaned.get("shelf_width_mm")
        elif cleaned.get("shelf_depth_mm") is None and "shelf_depth_mm" not in self.errors:
            self.add_error("shelf_depth_mm", _("Measure it from front to back as well."))
        return cleaned


class PostForm(RowForm):
    height_mm = length(PostSet, "height_mm", required=False)
    sets = whole(PostSet, "sets", required=False)

    def __init__(self, *args: Any, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        set_units(self, units)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        height, sets = cleaned.get("height_mm"), cleaned.get("sets")
        if height is None and sets is not None and "height_mm" not in self.errors:
            self.add_error("height_mm", gettext("How high are they?"))
        if height is not None and sets is None and "sets" not in self.errors:
            self.add_error("sets", gettext("How many shelves can they carry at once?"))
        return cleaned


PostsFormSet: type[BaseFormSet[PostForm]] = formset_factory(
    PostForm, extra=3, max_num=MOST_POSTS, validate_max=True, absolute_max=MOST_POSTS + 3
)


def posts_from(rows: "BaseFormSet[PostForm]") -> list[Posts]:
    """The filled rows of a valid formset."""
    filled = [row.cleaned_data for row in filled_rows(rows.forms)]
    return [Posts(row["height_mm"], row["sets"]) for row in filled]


def posts_initial(kiln: Kiln) -> list[dict[str, Any]]:
    return [{"height_mm": each.height_mm, "sets": each.sets} for each in kiln.posts.all()]


def kiln_initial(kiln: Kiln) -> dict[str, Any]:
    values = {name: getattr(kiln, name) for name in PLAIN}
    for name in ("cooling_h", "power_kw", "price_per_kwh"):
        if values[name] is not None:
            values[name] = f"{values[name]:g}"
    return values | {
        "confirms_shut_off": kiln.confirms_shut_off_id,
        "not_together_with": [each.pk for each in kiln.not_together_with.all()],
    }


def staff_of(studio: Studio) -> QuerySet[User]:
    """Who may confirm a shut-off."""
    return User.objects.staff().filter(studio=studio, is_active=True)
