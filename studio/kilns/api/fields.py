"""Fields that name another row of the caller's studio, and times on the studio's clock."""

from typing import Any

from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from studio.people.access import person_of

# JSON Schema's own "time" asks for an offset from UTC, which a time of day has not.
TIME_OF_DAY = {"type": "string", "pattern": r"^([01]\d|2[0-3]):[0-5]\d$", "example": "21:30"}


@extend_schema_field(TIME_OF_DAY)
class TimeOfDay(serializers.TimeField):
    """A local time of day, to the minute."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%H:%M", **kwargs)


class OfTheStudio(serializers.PrimaryKeyRelatedField[Any]):
    """An id of a row of the caller's own studio; another studio's is as unknown as none."""

    def __init__(self, rows: QuerySet[Any] | None = None, **kwargs: Any) -> None:
        super().__init__(queryset=rows if rows is not None else kwargs.pop("queryset"), **kwargs)

    def get_queryset(self) -> QuerySet[Any]:
        rows = super().get_queryset()
        assert isinstance(rows, QuerySet)  # noqa: S101 -- for types; it is given above
        request = self.context.get("request")
        if request is None:  # the schema is being written
            return rows
        return rows.filter(studio=person_of(request).studio_id)
