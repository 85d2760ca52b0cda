from decimal import Decimal
from typing import Any, Self
from uuid import UUID

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from django_stubs_ext import StrOrPromise

from studio.people.models import Role, Studio, User
from studio.people.models.base import Identified
from studio.room.models import ClayBody


class Surface(models.TextChoices):
    SMOOTH = "smooth", _("smooth")
    COILS = "coils", _("coils showing")
    TEXTURED = "textured", _("textured")


def length_mm(
    name: StrOrPromise, *, least: int = 1, most: int = 2000, **kwargs: Any
) -> "models.DecimalField[Decimal | float, Decimal]":
    return models.DecimalField(
        name,
        max_digits=6,
        decimal_places=1,
        validators=[MinValueValidator(least), MaxValueValidator(most)],
        **kwargs,
    )


def count(
    name: StrOrPromise, default: int, *, least: int = 0, most: int = 50
) -> "models.PositiveSmallIntegerField[int, int]":
    return models.PositiveSmallIntegerField(
        name, default=default, validators=[MinValueValidator(least), MaxValueValidator(most)]
    )


_SHARE: dict[str, Any] = {"max_digits": 5, "decimal_places": 2}


class Terms(models.Model):
    """What a brief asks for. An assignment pins a copy, so that a later edit moves nobody's goal.

    Limits are for the fired pot; wall, base and coil are as built.
    """

    what_to_make = models.TextField(_("what to make"), max_length=4000)
    surface = models.CharField(
        _("surface"), max_length=8, choices=Surface.choices, default=Surface.SMOOTH
    )
    firings = models.CharField(_("firings"), max_length=200, blank=True)
    min_fired_height_mm = length_mm(_("least fired height"))
    max_fired_height_mm = length_mm(_("most fired height"))
    max_fired_width_mm = length_mm(_("most fired width"))
    max_fired_depth_mm = length_mm(_("most fired depth"))
    least_thumbnails = count(_("least thumbnails"), 6)
    least_source_forms = count(_("least source forms"), 2)
    least_refinements = count(_("least refinements"), 2)
    least_distinct_ideas = models.PositiveSmallIntegerField(
        _("least distinct ideas"), null=True, blank=True, validators=[MaxValueValidator(50)]
    )
    wall_mm = length_mm(_("wall"), least=2, most=50)
    base_mm = length_mm(_("base"), least=2, most=60)
    coil_mm = length_mm(_("coil"), least=4, most=80)
    corner_coil_mm = length_mm(_("corner coil"), least=0, most=40)
    rows_per_blend = count(_("rows worked into one wall at a time"), 2, least=1, most=6)
    # Common practice, no source: 5 to 8 cm of wall in a lesson, 8 to 15 cm before it must stiffen.
    rise_per_lesson_mm = length_mm(_("wall built in a lesson"), least=10, most=500, default=60)
    soft_wall_mm = length_mm(_("most fresh wall before a rest"), least=20, most=400, default=120)
    longest_coil_mm = length_mm(
        _("longest coil that the tables allow"), least=100, most=5000, null=True, blank=True
    )
    tolerance_mm = length_mm(_("near enough in a build check"), least=0, most=50, default=5)
    tolerance_pct = models.DecimalField(
        _("or, where it is more, % of the width"),
        max_digits=4,
        decimal_places=2,
        default=3,
        validators=[MinValueValidator(0), MaxValueValidator(20)],
    )
    working_allowance_pct = models.DecimalField(
        _("working allowance, %"),
        max_digits=5,
        decimal_places=2,
        default=20,
        validators=[MinValueValidator(0), MaxValueValidator(100)],
        help_text=_("Clay for trimming, practice and waste, on top of the pot. Often 15 to 30 %."),
    )
    # The middle half of the studio's own pots, where the allowance was learned from them.
    allowance_low_pct = models.DecimalField(null=True, editable=False, **_SHARE)
    allowance_high_pct = models.DecimalField(null=True, editable=False, **_SHARE)
    clay_body = models.ForeignKey(
        ClayBody, on_delete=models.PROTECT, related_name="+", verbose_name=_("clay body")
    )

    class Meta:
        abstract = True

    @property
    def allowance_range_pct(self) -> tuple[float, float] | None:
        """The spread that was learned with the allowance; None where it was set by hand."""
        if self.allowance_low_pct is None or self.allowance_high_pct is None:
            return None
        return float(self.allowance_low_pct), float(self.allowance_high_pct)

    @property
    def asked_ideas(self) -> int | None:
        """How many distinct ideas a choice waits for; None where it waits for none."""
        return self.least_distinct_ideas


LEARNED = ("allowance_low_pct", "allowance_high_pct")
TERMS = tuple(field.name for field in Terms._meta.local_fields if field.name not in LEARNED)


class BriefQuerySet(models.QuerySet["Brief"]):
    def visible_to(self, person: User) -> Self:
        """Teachers and heads share the studio's briefs; students read their assignment."""
        if person.role not in {Role.HEAD, Role.TEACHER}:
            return self.none()
        return self.filter(studio=person.studio_id)


class Brief(Identified, Terms):
    """The coil project that a teacher sets."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="briefs")
    title = models.CharField(_("title"), max_length=120)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    created_at = models.DateTimeField()
    archived = models.BooleanField(_("put away"), default=False)

    objects = BriefQuerySet.as_manager()

    class Meta:
        ordering = ("-created_at",)
        constraints = (
            models.CheckConstraint(
                condition=models.Q(max_fired_height_mm__gte=models.F("min_fired_height_mm")),
                name="brief_most_height_at_least_least_height",
                violation_error_message=_("The most fired height is below the least."),
            ),
        )

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("brief", args=[self.pk])


class SourceFormQuerySet(models.QuerySet["SourceForm"]):
    def visible_to(self, person: User) -> Self:
        """Everybody in the studio who draws or teaches."""
        if person.role == Role.TECHNICIAN:
            return self.none()
        return self.filter(studio=person.studio_id)

    def offered(self) -> Self:
        return self.filter(retired=False)

    def offered_in(self, studio: UUID) -> Self:
        return self.offered().filter(studio=studio)


class SourceForm(Identified):
    """What an idea grew from: a seed pod, a bud, a shell; the studio's own list."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="source_forms")
    name = models.CharField(_("name"), max_length=60)
    retired = models.BooleanField(_("no longer offered"), default=False)

    objects = SourceFormQuerySet.as_manager()

    class Meta:
        ordering = ("name",)
        constraints = (
            models.UniqueConstraint(
                "studio",
                "name",
                name="source_form_name_unique",
                violation_error_message=_("The list has this source form already."),
            ),
        )

    def __str__(self) -> str:
        return self.name
