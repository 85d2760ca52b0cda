"""What serializers share: figures are JSON numbers, in both directions."""

import math
from datetime import datetime
from typing import Any, ClassVar, TypeVar, cast

from django.db import models
from django.utils.translation import gettext_lazy as _
from rest_framework import serializers

MOST_NUMBER = 1e9
"""Beyond any length or mass here, and short of every overflow."""


class NumberField(serializers.FloatField):
    """A JSON number: no text, no truth values, nothing beyond reason."""

    default_error_messages = {"invalid": _("Give a plain number.")}

    def to_internal_value(self, data: Any) -> float:
        if isinstance(data, bool) or not isinstance(data, int | float):
            self.fail("invalid")
        # An int is compared exactly, however many digits it has.
        if not -MOST_NUMBER <= data <= MOST_NUMBER or not math.isfinite(data):
            self.fail("invalid")
        return float(data)


class MomentField(serializers.DateTimeField):
    """A moment; one at the calendar's very edge, which no time zone can move, is refused."""

    def enforce_timezone(self, value: datetime) -> datetime:
        try:
            moment: datetime = super().enforce_timezone(value)
        except OverflowError:
            self.fail("overflow")
        return moment


def offer_related(serializer: serializers.Serializer[Any], **rows: models.QuerySet[Any]) -> None:
    """Which rows its fields of a related one take, by field."""
    for name, offered in rows.items():
        cast("Any", serializer.fields[name]).queryset = offered


class WholeRow(serializers.BaseSerializer[Any]):
    """A row in a list: given whole also where its owner is changed in part."""

    def validate(self, attrs: Any) -> Any:
        missing = {
            name: [each.error_messages["required"]]
            for name, each in self.fields.items()  # type: ignore[attr-defined]
            if each.required and not each.read_only and each.source not in attrs
        }
        if missing:
            raise serializers.ValidationError(missing)
        return attrs


Row = TypeVar("Row", bound=models.Model)


class FiguresSerializer(serializers.ModelSerializer[Row]):
    """Decimal columns as numbers, with the limits of the column; the service rounds and checks."""

    serializer_field_mapping: ClassVar[dict[type[models.Field[Any, Any]], type[Any]]] = {
        **serializers.ModelSerializer.serializer_field_mapping,
        models.DecimalField: NumberField,
    }

    def build_standard_field(
        self, field_name: str, model_field: "models.Field[Any, Any]"
    ) -> tuple[type[Any], dict[str, Any]]:
        kind, kwargs = super().build_standard_field(field_name, model_field)
        if kind is NumberField:
            kwargs.pop("max_digits", None)
            kwargs.pop("decimal_places", None)
        return kind, kwargs
