"""Pots on the scale."""

from collections.abc import Collection
from uuid import UUID

from django.db.models import Exists, F, OuterRef

from planning.models import Assignment
from studio.ware.models import GreenwareCheck, Pot, Stage, WeighedAs, Weighing


def wet_pots_of(assignment: Assignment) -> list[Pot]:
    """Standing wet pots: first those that are finished, by the check or by their student's word,
    then by name. One query.
    """
    checks = GreenwareCheck.objects.standing().filter(pot=OuterRef("pk"))
    return list(
        Pot.objects.standing()
        .filter(piece__assignment=assignment, stage=Stage.WET)
        .annotate(checked=Exists(checks))
        .select_related("studio", "plan", "piece__student")
        .order_by(
            "-checked",
            F("said_built_at").asc(nulls_last=True),
            "piece__student__given_name",
            "piece__student__family_name",
            "pk",
        )
    )


def newest_weights(pots: Collection[Pot], weighed_as: WeighedAs) -> dict[UUID, Weighing]:
    """By pot its newest weighing of this kind. One query."""
    rows = Weighing.objects.filter(pot__in=[pot.pk for pot in pots], weighed_as=weighed_as)
    return {row.pot_id: row for row in rows.order_by("at", "pk")}
