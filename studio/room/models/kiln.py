from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models.fields import NOT_PROVIDED
from django.db.models.functions import Lower
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from django_stubs_ext import StrOrPromise

from studio.people.models import Studio, User
from studio.people.models.base import Identified

from .money import currency


class ShelfShape(models.TextChoices):
    ROUND = "round", _("round")
    OVAL = "oval", _("oval")
    OCTAGON = "octagon", _("octagon")
    RECTANGLE = "rectangle", _("rectangle")


def whole(
    name: StrOrPromise,
    *,
    least: int,
    most: int,
    default: int | None = None,
    help_text: StrOrPromise = "",
) -> "models.PositiveIntegerField[int, int]":
    return models.PositiveIntegerField(
        name,
        validators=[MinValueValidator(least), MaxValueValidator(most)],
        help_text=help_text,
        default=NOT_PROVIDED if default is None else default,
    )


class KilnQuerySet(models.QuerySet["Kiln"]):
    def visible_to(self, person: User) -> Self:
        """Staff; students read their class's firing dates on their own pages."""
        if not person.is_staff:
            return self.none()
        return self.filter(studio=person.studio_id)

    def in_use(self) -> Self:
        return self.filter(retired=False)


class Kiln(Identified):
    """A kiln and its furniture: what its makers' sheet and a tape measure say.

    A round or octagonal shelf has its diameter (across the flats) as width and as depth. Hours are
    local; a span that passes midnight ends before it starts. Nothing here switches a kiln.
    """

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="kilns")
    name = models.CharField(_("name"), max_length=80)
    shelf_shape = models.CharField(_("shelves are"), max_length=9, choices=ShelfShape.choices)
    shelf_width_mm = whole(_("shelf width"), least=100, most=3000)
    shelf_depth_mm = whole(_("shelf depth"), least=100, most=3000)
    shelf_thickness_mm = whole(_("shelf thickness"), least=5, most=60)
    shelves = whole(_("number of shelves"), least=1, most=30)
    half_shelves = whole(
        _("number of half shelves"),
        least=0,
        most=30,
        default=0,
        help_text=_("Cut along the middle line from front to back: a left or a right half."),
    )
    usable_height_mm = whole(_("usable height inside"), least=100, most=3000)
    # Common practice, no source: 12 to 25 mm over the tallest, a finger between glazed pots.
    headroom_mm = whole(_("room above the tallest pot"), least=0, most=100, default=15)
    clearance_mm = whole(_("room between pots"), least=0, most=100, default=10)
    most_c = whole(_("fires to at most, °C"), least=600, most=1400)
    unload_below_c = whole(
        _("unload below, °C"),
        least=30,
        most=100,
        default=50,
    )
    cooling_h = models.FloatField(
        _("cooling time constant, hours"),
        default=7.0,
        validators=[MinValueValidator(0.5), MaxValueValidator(100)],
        help_text=_(
            "In this time the kiln loses about two thirds of its heat. From the log: the hours "
            "from 900 °C to 340 °C."
        ),
    )
    # Taken over from its own log by a click: from how many firings, and what stood before.
    cooling_firings = models.PositiveSmallIntegerField(default=0)
    cooling_before_h = models.FloatField(null=True, blank=True)
    # By its witness cones it fires so many °C hotter than is computed; 0 firings: not taken over.
    heat_offset_c = models.FloatField(default=0.0)
    heat_firings = models.PositiveSmallIntegerField(default=0)
    # For what a firing takes in energy and money; shown where power and lining are known.
    power_kw = models.FloatField(
        _("power, kW"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0.5), MaxValueValidator(500)],
        help_text=_("From the maker's plate."),
    )
    lining_mm = models.PositiveIntegerField(
        _("thickness of the lining"),
        null=True,
        blank=True,
        validators=[MinValueValidator(30), MaxValueValidator(500)],
        help_text=_("Brick or fibre from the inside to the metal, from the maker's sheet."),
    )
    price_per_kwh = models.FloatField(
        _("price of a kilowatt-hour"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(100)],
        help_text=_("From the school's bill."),
    )
    currency = currency()
    start_from = models.TimeField(_("may start from"))
    start_until = models.TimeField(_("may start until"))
    off_from = models.TimeField(_("may shut off from"))
    off_until = models.TimeField(_("may shut off until"))
    confirms_shut_off = models.ForeignKey(
        User,
        on_delete=models.PROTECT,
        related_name="+",
        verbose_name=_("confirms the shut-off"),
        help_text=_("Who stands at the kiln when it should be off and sees that it is."),
    )
    # Kilns on one circuit or under one hood: they never fire at the same time.
    not_together_with = models.ManyToManyField(
        "self", blank=True, verbose_name=_("never fires together with")
    )
    note = models.CharField(_("note"), max_length=400, blank=True)
    retired = models.BooleanField(_("no longer used"), default=False)

    objects = KilnQuerySet.as_manager()

    class Meta:
        ordering = ("name",)
        constraints = (
            models.UniqueConstraint(
                Lower("name"),
                "studio",
                name="kiln_name_unique",
                violation_error_message=_("The studio has a kiln of this name already."),
            ),
        )

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("kiln", args=[self.pk])


class PostSet(models.Model):
    """Posts of one height: how many shelves they can carry at once."""

    kiln = models.ForeignKey(Kiln, on_delete=models.CASCADE, related_name="posts")
    height_mm = whole(_("post height"), least=20, most=1000)
    sets = whole(_("sets"), least=1, most=30, default=1)

    class Meta:
        ordering = ("height_mm",)
        constraints = (
            models.UniqueConstraint("kiln", "height_mm", name="post_height_once_a_kiln"),
        )

    def __str__(self) -> str:
        return f"{self.sets} × {self.height_mm} mm"
