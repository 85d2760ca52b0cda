"""Pots, checks and questions that a person sees, with all that their pages show of them."""

from django.db.models import QuerySet

from studio.bench.models import BuildCheck, CarryOn
from studio.people.models import User
from studio.ware.models import Pot

OF_A_POT = (
    "studio",
    "plan",
    "piece__student",
    "piece__assignment__section",
    "piece__assignment__clay_body",
)
OF_ITS_POT = tuple(f"pot__{name}" for name in OF_A_POT)


def seen_pots(person: User) -> QuerySet[Pot]:
    return Pot.objects.visible_to(person).select_related(*OF_A_POT)


def seen_checks(person: User) -> QuerySet[BuildCheck]:
    rows = BuildCheck.objects.visible_to(person)
    return rows.select_related("by", "struck_out_by", *OF_ITS_POT)


def seen_carry_ons(person: User) -> QuerySet[CarryOn]:
    rows = CarryOn.objects.visible_to(person)
    return rows.select_related("asked_by", "decided_by", "check_made", *OF_ITS_POT)
