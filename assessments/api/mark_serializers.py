"""Markings and results as JSON."""

from typing import Any

from rest_framework import serializers

from assessments.models import MarkedLevel, Marking, Result
from studio.web.api_fields import NumberField
from studio.web.columns import column

MOST_MARKERS = 50
MOST_PIECES = 400


class GivenSerializer(serializers.Serializer[Any]):
    """A criterion of the rubric's version; `level` is null while it is open."""

    criterion = serializers.UUIDField()
    level = serializers.UUIDField(allow_null=True)
    note = serializers.CharField(
        max_length=column(MarkedLevel, "note").max_length,
        allow_blank=True,
        required=False,
        default="",
    )


class MarkingSerializer(serializers.Serializer[Any]):
    """`total` is null while a criterion is open; `beside` are the others who mark the piece."""

    id = serializers.UUIDField()
    marker = serializers.UUIDField()
    version = serializers.UUIDField()
    edition = serializers.IntegerField()
    criteria = GivenSerializer(many=True)
    comment = serializers.CharField()
    total = NumberField(allow_null=True)
    most = NumberField()
    open = serializers.IntegerField()
    changed_at = serializers.DateTimeField()


class SentMarkingSerializer(serializers.Serializer[Any]):
    """All of a marking: what isn't named is open. `edition` is the one that you read, 0 for none;
    `beside` are the markers of whom you know that they mark the piece too.
    """

    criteria = GivenSerializer(many=True)
    comment = serializers.CharField(
        max_length=column(Marking, "comment").max_length,
        allow_blank=True,
        required=False,
        default="",
    )
    edition = serializers.IntegerField(min_value=0, max_value=10**6)
    beside = serializers.ListField(
        child=serializers.UUIDField(), max_length=MOST_MARKERS, required=False, default=list
    )

    def values(self) -> dict[str, Any]:
        """What `save_marking` is given."""
        sent = self.validated_data
        return {
            "levels": {each["criterion"]: each["level"] for each in sent["criteria"]},
            "notes": {each["criterion"]: each["note"] for each in sent["criteria"]},
            "comment": sent["comment"],
            "edition": sent["edition"],
            "beside": sent["beside"],
        }


class ReleasedLevelSerializer(serializers.Serializer[Any]):
    """As it was released; figures are text decimals, `points` null where it isn't judged."""

    criterion = serializers.CharField()
    weight = serializers.CharField()
    points = serializers.CharField(allow_null=True)
    most = serializers.CharField()
    descriptor = serializers.CharField(allow_blank=True)
    note = serializers.CharField(allow_blank=True)
    exempt = serializers.BooleanField()


class ReleasedResultSerializer(serializers.ModelSerializer[Result]):
    """What was released. `score` is null where a criterion isn't judged."""

    levels = ReleasedLevelSerializer(many=True)
    score = NumberField(allow_null=True)
    most = NumberField()

    class Meta:
        model = Result
        fields = (
            "id",
            "piece",
            "number",
            "levels",
            "comment",
            "score",
            "most",
            "reason",
            "released_at",
            "replaced_at",
        )


class ChosenMarkingSerializer(serializers.Serializer[Any]):
    piece = serializers.UUIDField()
    marking = serializers.UUIDField()


class ReleaseSerializer(serializers.Serializer[Any]):
    """All of these pieces or none. `chosen` says whose marks count where two differ."""

    pieces = serializers.ListField(child=serializers.UUIDField(), max_length=MOST_PIECES)
    with_open = serializers.BooleanField(required=False, default=False)
    chosen = ChosenMarkingSerializer(many=True, required=False)


class ReleaseAgainSerializer(serializers.Serializer[Any]):
    """`number` is the result that you read; `marking` says whose marks count where two differ."""

    number = serializers.IntegerField(min_value=1, max_value=10**4)
    reason = serializers.CharField(max_length=column(Result, "reason").max_length)
    with_open = serializers.BooleanField(required=False, default=False)
    marking = serializers.UUIDField(required=False, allow_null=True, default=None)
