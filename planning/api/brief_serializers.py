"""How briefs and assignments look in JSON. Lengths mm; dates are local."""

from typing import Any, ClassVar

from rest_framework import serializers

from planning.models import Assignment, Brief, MilestoneKind, SourceForm
from planning.models.brief import TERMS
from planning.selectors.assignments import milestones_of
from studio.room.models import ClayBody
from studio.web.api_fields import FiguresSerializer, offer_related

MOST_CLASSES = 100


class BriefSerializer(FiguresSerializer[Brief]):
    clay_body = serializers.PrimaryKeyRelatedField(
        queryset=ClayBody.objects.none(), pk_field=serializers.UUIDField()
    )

    class Meta:
        model = Brief
        fields = ("id", "title", *TERMS, "archived", "by", "created_at")
        read_only_fields = ("by", "created_at")
        # A new brief is not put away.
        extra_kwargs: ClassVar[dict[str, Any]] = {"archived": {"required": False}}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if studio := self.context.get("studio"):
            offer_related(self, clay_body=ClayBody.objects.filter(studio=studio))


class CopySerializer(serializers.Serializer[Any]):
    title = serializers.CharField(max_length=120)


class GiveSerializer(serializers.Serializer[Any]):
    sections = serializers.ListField(
        child=serializers.UUIDField(), min_length=1, max_length=MOST_CLASSES
    )
    given_on = serializers.DateField()
    due_on = serializers.DateField()


class MilestoneSerializer(serializers.Serializer[Any]):
    kind = serializers.ChoiceField(choices=MilestoneKind.choices)
    on = serializers.DateField()


class AssignmentSerializer(FiguresSerializer[Assignment]):
    """The terms that the class was given, and the class's milestones in the order of the job."""

    milestones = serializers.SerializerMethodField()

    class Meta:
        model = Assignment
        fields = (
            "id",
            "brief",
            "section",
            "title",
            "given_on",
            "due_on",
            "milestones",
            "ideas_counted",
            *TERMS,
        )

    def get_milestones(self, row: Assignment) -> list[dict[str, Any]]:
        return [{"kind": each.kind, "on": each.on.isoformat()} for each in milestones_of(row)]


class IdeasCountedSerializer(serializers.Serializer[Any]):
    """Whether the class's drawings are compared and its ideas counted."""

    ideas_counted = serializers.BooleanField()


class DatesSerializer(serializers.Serializer[Any]):
    """All dates of a class, in the order of the job."""

    given_on = serializers.DateField()
    thumbnails = serializers.DateField()
    chosen = serializers.DateField()
    refined = serializers.DateField()
    plan_sent = serializers.DateField()
    built = serializers.DateField()
    due_on = serializers.DateField()


class SourceFormSerializer(serializers.ModelSerializer[SourceForm]):
    class Meta:
        model = SourceForm
        fields = ("id", "name", "retired")
        validators: ClassVar[list[Any]] = []
