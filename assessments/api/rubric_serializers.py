"""Rubrics and their versions as JSON: points and weights are numbers with two decimals at most."""

from decimal import Decimal
from typing import Any
from uuid import UUID

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from assessments.models import (
    AssignmentRubric,
    Criterion,
    EvidenceKind,
    Level,
    Rubric,
    RubricCriterion,
    RubricVersion,
)
from assessments.selectors.rubrics import CriterionSeen
from assessments.services.rubrics import CriterionWritten, LevelWritten
from studio.web.api_fields import NumberField
from studio.web.columns import column


class LevelSerializer(serializers.Serializer[Any]):
    """`id` is answered, not taken."""

    id = serializers.UUIDField(read_only=True, source="pk")
    points = NumberField()
    descriptor = serializers.CharField(max_length=column(Level, "descriptor").max_length)


class RubricCriterionSerializer(serializers.Serializer[Any]):
    """`id` is of this version, `criterion` what it is called over versions."""

    id = serializers.UUIDField(read_only=True, source="pk")
    criterion = serializers.UUIDField(read_only=True)
    title = serializers.CharField(max_length=column(Criterion, "title").max_length)
    weight = NumberField(default=float(column(RubricCriterion, "weight").get_default()))
    evidence = serializers.ChoiceField(choices=EvidenceKind.choices, default=EvidenceKind.NONE)
    levels = LevelSerializer(many=True)


class VersionSerializer(serializers.ModelSerializer[RubricVersion]):
    """Needs `criteria` by version in its context."""

    criteria = serializers.SerializerMethodField()

    class Meta:
        model = RubricVersion
        fields = ("id", "rubric", "number", "at", "criteria")

    @extend_schema_field(RubricCriterionSerializer(many=True))
    def get_criteria(self, version: RubricVersion) -> Any:
        by_version: dict[UUID, list[CriterionSeen]] = self.context["criteria"]
        return RubricCriterionSerializer(by_version[version.pk], many=True).data


class RubricSerializer(serializers.ModelSerializer[Rubric]):
    class Meta:
        model = Rubric
        fields = ("id", "title", "archived", "created_at")


class WrittenRubricSerializer(serializers.Serializer[Any]):
    """A whole rubric, the criteria in order."""

    title = serializers.CharField(max_length=column(Rubric, "title").max_length)
    criteria = RubricCriterionSerializer(many=True)

    def written(self) -> dict[str, Any]:
        values = self.validated_data
        return {
            "title": values["title"],
            "criteria": [_criterion(each) for each in values["criteria"]],
        }


class ChangedRubricSerializer(WrittenRubricSerializer):
    """`seen` is the id of the version that the change was made on."""

    seen = serializers.UUIDField()


class ChosenRubricSerializer(serializers.ModelSerializer[AssignmentRubric]):
    """The version by which an assignment is marked."""

    class Meta:
        model = AssignmentRubric
        fields = ("version",)


def _criterion(sent: dict[str, Any]) -> CriterionWritten:
    return CriterionWritten(
        title=sent["title"],
        weight=_decimal(sent["weight"]),
        evidence=sent["evidence"],
        levels=tuple(
            LevelWritten(_decimal(each["points"]), each["descriptor"]) for each in sent["levels"]
        ),
    )


def _decimal(value: float) -> Decimal:
    """As it was written in JSON: 0.1 is one tenth."""
    return Decimal(str(value))
