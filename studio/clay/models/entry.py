from collections.abc import Iterable
from typing import Any, NoReturn, Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from studio.people.models import Role, Section, Studio, User
from studio.people.models.base import Identified
from studio.ware.models import Pot

from .lot import Lot


class EntryKind(models.TextChoices):
    DELIVERY = "delivery", _("delivery")
    ISSUE = "issue", _("issue")
    RETURN = "return", _("return")
    RECLAIM = "reclaim", _("reclaim")
    WRITE_OFF = "write_off", _("write-off")
    CORRECTION = "correction", _("correction")


class NeverChanged(TypeError):  # noqa: N818 -- reads as what is so
    """Somebody tried to change or delete a line of the ledger; reverse it instead."""


class EntryQuerySet(models.QuerySet["Entry"]):
    def visible_to(self, person: User) -> Self:
        if not person.is_staff:
            return self.none()
        return self.filter(studio=person.studio_id)

    def correctable_by(self, person: User) -> Self:
        """What a head or technician sees; for a teacher what is about their own classes, and what
        they wrote themselves.
        """
        seen = self.visible_to(person)
        if person.role != Role.TEACHER:
            return seen
        own = Section.objects.visible_to(person).order_by()
        return seen.filter(
            models.Q(by=person)
            | models.Q(section__in=own)
            | models.Q(pot__piece__assignment__section__in=own)
        )

    def about(self, section: Section) -> Self:
        """What was given to, or came back from, the class and the pots of its students."""
        return self.filter(
            models.Q(section=section) | models.Q(pot__piece__assignment__section=section)
        )

    def update(self, **values: Any) -> NoReturn:
        raise NeverChanged

    def bulk_update(self, objs: Iterable["Entry"], *args: Any, **more: Any) -> NoReturn:
        raise NeverChanged

    def delete(self) -> NoReturn:
        raise NeverChanged


class Entry(Identified):
    """One line of the ledger, in grams; clay that comes in counts up, what goes out counts down.

    Never changed and never deleted: a mistake is put right by a reversing entry. It names at most
    one of: a pot, a class, a table.
    """

    studio = models.ForeignKey(Studio, on_delete=models.PROTECT, related_name="clay_entries")
    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, related_name="entries")
    kind = models.CharField(max_length=10, choices=EntryKind.choices)
    grams = models.BigIntegerField()
    balance_after_g = models.BigIntegerField()
    pot = models.ForeignKey(
        Pot, on_delete=models.PROTECT, null=True, blank=True, related_name="clay_entries"
    )
    section = models.ForeignKey(
        Section, on_delete=models.PROTECT, null=True, blank=True, related_name="clay_entries"
    )
    table = models.CharField(_("table"), max_length=40, blank=True)
    # What the approved plan asked for when this was issued, frozen.
    planned_g = models.FloatField(null=True, blank=True)
    reverses = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="reversed_by"
    )
    # Clay that was made ready again, and the clay of another lot that it was made from.
    made_from = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="made_into"
    )
    reason = models.CharField(_("reason"), max_length=400, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    objects = EntryQuerySet.as_manager()

    class Meta:
        ordering = ("-at", "pk")
        verbose_name_plural = "entries"
        indexes = (models.Index(fields=("studio", "-at"), name="clay_entry_by_time"),)
        constraints = (
            models.CheckConstraint(
                condition=models.Q(kind__in=("delivery", "return"), grams__gt=0)
                | models.Q(kind__in=("issue", "write_off"), grams__lt=0)
                | models.Q(kind__in=("reclaim", "correction")) & ~models.Q(grams=0),
                name="clay_entry_counts_the_right_way",
            ),
            models.CheckConstraint(
                condition=models.Q(balance_after_g__gte=0), name="clay_entry_leaves_no_debt"
            ),
            models.CheckConstraint(
                condition=models.Q(kind="correction") ^ models.Q(reverses__isnull=True),
                name="clay_entry_correction_reverses_one",
            ),
            models.CheckConstraint(
                condition=models.Q(pot__isnull=True, section__isnull=True)
                | models.Q(pot__isnull=True, table="")
                | models.Q(section__isnull=True, table=""),
                name="clay_entry_for_one_at_most",
            ),
        )

    def __str__(self) -> str:
        return f"{self.kind} {self.grams} g"

    @property
    def moved_g(self) -> int:
        """How much moved, whichever way."""
        return abs(self.grams)

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise NeverChanged
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise NeverChanged
