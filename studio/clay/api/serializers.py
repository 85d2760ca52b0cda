"""How lots, entries and movements look in JSON. Masses are grams."""

from typing import Any

from django.db.models import QuerySet
from django.utils.translation import gettext as _
from rest_framework import serializers

from planning.models import Piece
from studio.clay.models import MOST_BAGS, BagPart, Entry, Lot, SafetyTalk
from studio.clay.services import MOST_ROWS
from studio.people.access import person_of
from studio.people.models import Section, User
from studio.room.models import ClayBody
from studio.ware.models import Pot
from studio.web.api_fields import NumberField


def label_field() -> Any:
    """What stands on the bag. Of any type, since a serializer has a `label` of its own."""
    return serializers.CharField(max_length=80, allow_blank=True, default="")


class LotSerializer(serializers.ModelSerializer[Lot]):
    body_name = serializers.CharField(source="body.name", read_only=True)

    class Meta:
        model = Lot
        fields = (
            "id",
            "body",
            "body_name",
            "kind",
            "mixed",
            "label",
            "bag_g",
            "came_on",
            "balance_g",
        )


class EntrySerializer(serializers.ModelSerializer[Entry]):
    """What comes in counts up, what goes out counts down."""

    code = serializers.CharField(source="pot.code", read_only=True, default=None, allow_null=True)

    class Meta:
        model = Entry
        fields = (
            "id",
            "lot",
            "kind",
            "grams",
            "balance_after_g",
            "pot",
            "code",
            "section",
            "table",
            "planned_g",
            "reverses",
            "made_from",
            "reason",
            "at",
            "by",
        )


class SafetyTalkSerializer(serializers.ModelSerializer[SafetyTalk]):
    class Meta:
        model = SafetyTalk
        fields = ("id", "student", "on", "by")


class Seen(serializers.PrimaryKeyRelatedField[Any]):
    """One of the rows that the caller sees; others are as if they weren't there."""

    def __init__(self, model: Any, *loaded: str, **kwargs: Any) -> None:
        self.model, self.loaded = model, loaded
        if not kwargs.get("read_only"):
            kwargs["queryset"] = model._default_manager.none()
        super().__init__(**kwargs)

    def get_queryset(self) -> QuerySet[Any]:
        person = person_of(self.context["request"])
        rows: QuerySet[Any] = self.model._default_manager.visible_to(person)
        return rows.select_related(*self.loaded) if self.loaded else rows


def _lot(**kwargs: Any) -> Seen:
    return Seen(Lot, "body", "studio", **kwargs)


def _pot(**kwargs: Any) -> Seen:
    return Seen(Pot, "studio", "plan", "piece__student", "piece__assignment__section", **kwargs)


class DeliverySerializer(serializers.Serializer[Any]):
    body = Seen(ClayBody)
    bags = serializers.IntegerField(min_value=0, max_value=MOST_BAGS, default=0)
    bag_g = NumberField(allow_null=True, default=None)
    loose_g = NumberField(default=0, min_value=0)
    label = label_field()
    came_on = serializers.DateField()


class _Amount(serializers.Serializer[Any]):
    """`grams`, or `part` of one of the lot's bags."""

    lot = _lot()
    grams = NumberField(required=False)
    part = serializers.ChoiceField(BagPart.choices, required=False)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        part = attrs.pop("part", None)
        if (part is None) == ("grams" not in attrs):
            message = _("Give grams, or a part of a bag; one of the two.")
            raise serializers.ValidationError({"grams": message})
        if part is not None:
            attrs["grams"] = attrs["lot"].part_g(BagPart(part))
            if attrs["grams"] is None:
                message = _("This lot is not in bags. Give grams.")
                raise serializers.ValidationError({"part": message})
        return attrs


class IssueSerializer(_Amount):
    """To a pot, a class or a table."""

    pot = _pot(required=False)
    section = Seen(Section, required=False)
    table = serializers.CharField(max_length=40, required=False)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        if sum(name in attrs for name in ("pot", "section", "table")) != 1:
            message = _("Name one: a pot, a class (section) or a table.")
            raise serializers.ValidationError({"pot": message})
        return super().validate(attrs)


class IssueRowSerializer(_Amount):
    piece = Seen(Piece, "studio", "student")


class ClassIssueSerializer(serializers.Serializer[Any]):
    rows = serializers.ListField(
        child=IssueRowSerializer(), allow_empty=False, max_length=MOST_ROWS
    )


class ReturnSerializer(serializers.Serializer[Any]):
    """From a pot (to its `lot`, or without one to what is to be reclaimed), or a class's bucket."""

    pot = _pot(required=False)
    lot = _lot(required=False, allow_null=True)
    section = Seen(Section, required=False)
    body = Seen(ClayBody, required=False)
    grams = NumberField()
    mixed = serializers.BooleanField(default=False)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        places = ("pot", "lot", "section", "body")
        names = {name for name in places if attrs.get(name) is not None}
        if attrs["mixed"] and names != {"section", "body"}:
            message = _("Only the bucket of a class can be mixed.")
            raise serializers.ValidationError({"mixed": message})
        if names not in ({"pot"}, {"pot", "lot"}, {"section", "body"}):
            message = _("Name a pot, with its lot if the clay is fit; or a class and a clay body.")
            raise serializers.ValidationError({"pot": message})
        return attrs


class ReclaimSerializer(serializers.Serializer[Any]):
    lot = _lot()
    taken_g = NumberField()
    ready_g = NumberField()
    label = label_field()


class WriteOffSerializer(serializers.Serializer[Any]):
    lot = _lot()
    grams = NumberField()
    reason = serializers.CharField(max_length=400)


class Correctable(Seen):
    def get_queryset(self) -> QuerySet[Any]:
        person = person_of(self.context["request"])
        return Entry.objects.correctable_by(person).select_related("lot__body", "lot__studio")


class CorrectionSerializer(serializers.Serializer[Any]):
    entry = Correctable(Entry)
    reason = serializers.CharField(max_length=400)


class SeenStudents(Seen):
    """Students now in a class that the caller sees: a technician too, who sees no person's page."""

    def get_queryset(self) -> QuerySet[Any]:
        sections = Section.objects.visible_to(person_of(self.context["request"])).order_by()
        return (
            User.objects.students()
            .filter(enrolments__section__in=sections, enrolments__left_on__isnull=True)
            .distinct()
        )


class TalkSerializer(serializers.Serializer[Any]):
    students = SeenStudents(User, many=True, allow_empty=False)
    on = serializers.DateField()
