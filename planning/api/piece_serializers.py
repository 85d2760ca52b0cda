"""How pieces, drawings and plans look in JSON. Lengths mm, masses g."""

from typing import Any

from rest_framework import serializers

from planning.geometry.inputs import FootRing, Outline
from planning.models import Choice, Piece, PlanVersion, Refinement, SourceForm, Thumbnail
from planning.plans.inputs import MOST_LINES, Drawn, Line
from studio.people.access import person_of
from studio.web.api_fields import NumberField, offer_related

from .compute_request import OutlineSerializer


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
            offer_related(self, source_form=SourceForm.objects.offered_in(piece.studio_id))


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
    front_mm = NumberField(
        required=False, allow_null=True, default=None, help_text="Of a side drawing."
    )
    back_mm = NumberField(required=False, allow_null=True, default=None)


class DraftWallSerializer(serializers.Serializer[Any]):
    base = NumberField()
    rim = NumberField()


class FootRingSerializer(serializers.Serializer[FootRing]):
    width_mm = NumberField()
    height_mm = NumberField()


class DraftSerializer(serializers.Serializer[Drawn]):
    """A plan as far as it is measured; half-widths may still be null."""

    lines: serializers.BaseSerializer[Any] = serializers.ListSerializer(
        child=LineSerializer(), min_length=1, max_length=MOST_LINES
    )
    outline = OutlineSerializer()
    rim_outline = OutlineSerializer(required=False, allow_null=True, default=None)
    drawn_as = serializers.ChoiceField(choices=["wet", "fired"], default="wet")
    wall_mm = DraftWallSerializer()
    base_mm = NumberField()
    foot_ring = FootRingSerializer(required=False, allow_null=True, default=None)
    added_g = NumberField(default=0, min_value=0, help_text="Wet clay of handles and the like.")
    uneven_on_purpose = serializers.BooleanField(default=False)

    def drawn(self) -> Drawn:
        entered = self.validated_data
        rim, ring = entered["rim_outline"], entered["foot_ring"]
        return Drawn(
            lines=tuple(Line(**line) for line in entered["lines"]),
            outline=Outline(**entered["outline"]),
            rim_outline=Outline(**rim) if rim else None,
            drawn_as=entered["drawn_as"],
            wall_base_mm=entered["wall_mm"]["base"],
            wall_rim_mm=entered["wall_mm"]["rim"],
            base_mm=entered["base_mm"],
            foot_ring=FootRing(**ring) if ring else None,
            added_g=entered["added_g"],
            uneven_on_purpose=entered["uneven_on_purpose"],
        )


class DecisionSerializer(serializers.Serializer[Any]):
    note = serializers.CharField(max_length=2000, required=False, allow_blank=True, default="")
