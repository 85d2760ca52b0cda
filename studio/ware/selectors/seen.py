"""What is seen with a pot: its flaws, losses and photos."""

from typing import TypeVar

from django.db.models import Model, QuerySet

from studio.people.models import User
from studio.ware.models import Pot

Row = TypeVar("Row", bound=Model)


def of_seen_pots(rows: QuerySet[Row], person: User) -> QuerySet[Row]:
    """Those rows whose pot the person sees."""
    return rows.filter(pot__in=Pot.objects.visible_to(person).order_by())
