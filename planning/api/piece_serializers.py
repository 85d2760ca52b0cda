"""How pieces, drawings and plans look in JSON. Lengths mm, masses g."""

from typing import Any

from rest_framework import serializers

from planning.models import Choice, Piece, PlanVersion, Refinement, SourceForm, Thumbnail
from planning.plans.inputs import Drawn, Line
from studio.people.access import person_of
from studio.web.api_fields import NumberField

MOST_LINES = 60


class _Reflections(serializers.BaseSerializer[Any]):
    """Leaves away what students write about their work, and what teachers write to them about it,
    where a technician reads."""

    private: tuple[str, ...] = ()

    def to_representation(self, instance: Any) -> Any:
        shown = super().to_representation(instance)
        person = person_of(self.context["request"])
        if not (person.teaches or person.is_student):
            for name in self.private:
                shown.pop(name, None)
        return shown


class PieceSerializer(serializers.ModelSerializer[Piece]):
    student_name = serializers.CharField(source="student.name", read_only=True)
    section = serializers.UUIDField(source="assignment.section_id", read_only=True)

    class Meta:
        model = Piece
        fields = ("id", "code", "assignment", "section", "student", "student_name", "created_at")


class ThumbnailSerializer(_Reflections, serializers.ModelSerializer[Thumbnail]):
    private = ("note",)
    state = serializers.CharField(source="image.state", read_only=True)
    refusal = serializers.CharField(source="image.refusal", read_only=True)

    class Meta:
        model = Thumbnail
        fields = (
            "id",
            "position",
            "source_form",
            "note",
            "state",
            "refusal",
            "added_at",
            "withdrawn_at",
        )


class RefinementSerializer(_Reflections, serializers.ModelSerializer[Refinement]):
    private = ("note",)
    state = serializers.CharField(source="image.state", read_only=True)
    refusal = serializers.CharField(source="image.refusal", read_only=True)

    class Meta:
        model = Refinement
        fields = ("id", "note", "state", "refusal", "added_at", "withdrawn_at")


class NewThumbnailSerializer(serializers.Serializer[Any]):
    photo = serializers.FileField(allow_empty_file=True)
    source_form = serializers.PrimaryKeyRelatedField(
        queryset=SourceForm.objects.none(), required=False, allow_null=True, default=None
    )
    note = serializers.CharField(max_length=300, required=False, allow_blank=True, default="")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if piece := self.context.get("piece"):
            offered = SourceForm.objects.filter(studio=piece.studio_id, retired=False)
            self.fields["source_form"].queryset = offered  # type: ignore[attr-defined]


class NewRefinementSerializer(serializers.Serializer[Any]):
    photo = serializers.FileField(allow_empty_file=True)
    note = serializers.CharField(max_length=300, required=False, allow_blank=True, default="")


class ChoiceSerializer(_Reflections, serializers.ModelSerializer[Choice]):
    private = ("reason",)

    class Meta:
        model = Choice
        fields = ("id", "thumbnail", "reason", "at")
        read_only_fields = ("at",)


class NewChoiceSerializer(serializers.Serializer[Any]):
    thumbnail = serializers.UUIDField()
    reason = serializers.CharField(max_length=1000)


class PlanSerializer(_Reflections, serializers.ModelSerializer[PlanVersion]):
    private = ("note",)

    class Meta:
        model = PlanVersion
        fields = (
            "id",
            "piece",
            "number",
            "state",
            "inputs",
            "figures",
            "computation",
            "changed_at",
            "sent_at",
            "decided_at",
            "note",
        )


class LineSerializer(serializers.Serializer[Line]):
    height_mm = NumberField()
    left_mm = NumberField(required=False, allow_null=True, default=None)
    right_mm = NumberField(required=False, allow_null=True, default=None)


class DraftOutlineSerializer(serializers.Serializer[Any]):
    shape = serializers.ChoiceField(choices=["round", "oval"])
    depth_ratio = NumberField(required=False, default=1.0)


class DraftWallSerializer(serializers.Serializer[Any]):
    base = NumberField()
    rim = NumberField()


class DraftSerializer(serializers.Serializer[Drawn]):
    """A plan as far as it is measured; half-widths may still be null."""

    lines: serializers.BaseSerializer[Any] = serializers.ListSerializer(
        child=LineSerializer(), min_length=1, max_length=MOST_LINES
    )
    outline = DraftOutlineSerializer()
    drawn_as = serializers.ChoiceField(choices=["wet", "fired"], default="wet")
    wall_mm = DraftWallSerializer()
    base_mm = NumberField()
    uneven_on_purpose = serializers.BooleanField(default=False)

    def drawn(self) -> Drawn:
        entered = self.validated_data
        return Drawn(
            lines=tuple(Line(**line) for line in entered["lines"]),
            outline=entered["outline"]["shape"],
            depth_ratio=entered["outline"]["depth_ratio"],
            drawn_as=entered["drawn_as"],
            wall_base_mm=entered["wall_mm"]["base"],
            wall_rim_mm=entered["wall_mm"]["rim"],
            base_mm=entered["base_mm"],
            uneven_on_purpose=entered["uneven_on_purpose"],
        )


class DecisionSerializer(serializers.Serializer[Any]):
    note = serializers.CharField(max_length=2000, required=False, allow_blank=True, default="")
