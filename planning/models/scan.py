from typing import Any, Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from studio.people.models import User
from studio.people.models.base import Identified
from studio.uploads.models import StoredImage

from .assignment import Assignment
from .piece import Piece
from .sheet import Sheet


class ScanQuerySet(models.QuerySet["Scan"]):
    def taught_by(self, person: User) -> Self:
        return self.filter(assignment__in=Assignment.objects.taught_by(person).order_by())


class Scan(Identified):
    """The thumbnail sheets of a class as they came off a scanner, one file.

    The file goes as soon as its pages were read. `pages` is None until it was opened; `stem` is
    random, the pictures of pages that wait are named after it.
    """

    class State(models.TextChoices):
        RECEIVED = "received", _("being read")
        READ = "read", _("read")
        REFUSED = "refused", _("not read to its end")

    assignment = models.ForeignKey(Assignment, on_delete=models.CASCADE, related_name="scans")
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    created_at = models.DateTimeField()
    state = models.CharField(max_length=8, choices=State.choices, default=State.RECEIVED)
    refusal_code = models.CharField(max_length=20, blank=True)
    refusal_values: models.JSONField[dict[str, Any], dict[str, Any]] = models.JSONField(
        default=dict
    )
    original_name = models.CharField(_("name of the file"), max_length=120, blank=True)
    original_sha256 = models.CharField(max_length=64)
    quarantine_file = models.CharField(max_length=100, blank=True)
    stem = models.CharField(max_length=50, unique=True)
    pages = models.PositiveSmallIntegerField(null=True)

    objects = ScanQuerySet.as_manager()

    class Meta:
        ordering = ("-created_at", "pk")
        constraints = (
            models.UniqueConstraint(
                "assignment",
                "original_sha256",
                condition=~models.Q(state="refused"),
                name="scan_once_in_a_project",
            ),
            models.CheckConstraint(
                condition=models.Q(state="refused") ^ models.Q(refusal_code=""),
                name="scan_refused_with_a_reason",
            ),
        )

    def __str__(self) -> str:
        return self.original_name

    @property
    def is_open(self) -> bool:
        return self.state == self.State.RECEIVED


class ScanPageQuerySet(models.QuerySet["ScanPage"]):
    def taught_by(self, person: User) -> Self:
        return self.filter(scan__in=Scan.objects.taught_by(person).order_by())

    def waiting(self) -> Self:
        """Somebody has to say whose they are."""
        return self.filter(state=ScanPage.State.WAITING)


class ScanPage(Identified):
    """One page of a scan, written down once: the sheet that it became, or why it waits.

    While it waits it has a picture, unless it could not be drawn. `piece` is what its code says,
    None where there is none to be told; `said` is what the piece had against it.
    """

    class State(models.TextChoices):
        SHEET = "sheet", _("with its student")
        WAITING = "waiting", _("waits")
        AWAY = "away", _("put away")

    class Why(models.TextChoices):
        """What kept it from its piece."""

        NO_CODE = "no_code", _("no code")
        UNKNOWN = "unknown", _("unknown code")
        ELSEWHERE = "elsewhere", _("of another studio")
        NOT_TAUGHT = "not_taught", _("of another class")
        LEFT = "left", _("left the class")
        CLOSED = "closed", _("account closed")
        REFUSED = "refused", _("not taken")
        TOO_LONG = "too_long", _("too large a page")
        TOO_HEAVY = "too_heavy", _("took too much memory")
        BROKEN = "broken", _("damaged")

    scan = models.ForeignKey(Scan, on_delete=models.CASCADE, related_name="read_pages")
    number = models.PositiveSmallIntegerField()
    state = models.CharField(max_length=8, choices=State.choices)
    why = models.CharField(max_length=12, choices=Why.choices, blank=True)
    said = models.CharField(max_length=300, blank=True)
    piece = models.ForeignKey(Piece, on_delete=models.CASCADE, null=True, related_name="+")
    sheet = models.ForeignKey(Sheet, on_delete=models.SET_NULL, null=True, related_name="+")
    image = models.OneToOneField(StoredImage, on_delete=models.PROTECT, null=True, related_name="+")

    objects = ScanPageQuerySet.as_manager()

    class Meta:
        ordering = ("number",)
        constraints = (models.UniqueConstraint("scan", "number", name="scan_page_once"),)

    def __str__(self) -> str:
        return f"{self.scan} {self.number}"
