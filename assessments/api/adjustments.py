"""What differs for one student, over the API. For the teachers of the class and heads."""

from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext as _
from drf_spectacular.utils import extend_schema
from rest_framework import serializers, status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from assessments.models import Criterion
from assessments.selectors.exemptions import criteria_of, exemptions_of
from assessments.services.adjusting import adjust_student, as_for_the_class
from assessments.services.criteria import ensure_criteria
from planning.models import Adjustment, Assignment, MilestoneKind
from planning.services.adjustments import MOST, OWN_COUNTS, own_dates
from studio.errors import Refused
from studio.people.access import studio_of
from studio.people.api.views import caller
from studio.people.api_access import Teaching
from studio.people.models import User

MOST_CRITERIA = 50


def _count() -> serializers.IntegerField:
    return serializers.IntegerField(
        min_value=0, max_value=MOST, allow_null=True, required=False, default=None
    )


def _date() -> serializers.DateField:
    return serializers.DateField(allow_null=True, required=False, default=None)


class CriterionSerializer(serializers.ModelSerializer[Criterion]):
    class Meta:
        model = Criterion
        fields = ("id", "title", "position")


class AdjustmentSerializer(serializers.Serializer[Any]):
    """Null is as for the class. `exempt` are criteria that the student isn't judged by."""

    least_thumbnails = _count()
    least_source_forms = _count()
    least_refinements = _count()
    thumbnails = _date()
    chosen = _date()
    refined = _date()
    plan_sent = _date()
    built = _date()
    exempt = serializers.ListField(
        child=serializers.UUIDField(), max_length=MOST_CRITERIA, required=False, default=list
    )
    private_reason = serializers.CharField(max_length=2000)


class Criteria(ListModelMixin, GenericAPIView[Criterion]):
    permission_classes = [Teaching]
    serializer_class = CriterionSerializer

    def get_queryset(self) -> QuerySet[Criterion]:
        return criteria_of(studio_of(caller(self.request))).order_by("position", "pk")

    @extend_schema(operation_id="criteria_list")
    def get(self, request: Request) -> Response:
        """What the studio judges by."""
        ensure_criteria(studio=studio_of(caller(request)))
        page = self.paginate_queryset(self.get_queryset())
        return self.get_paginated_response(self.get_serializer(page, many=True).data)


class StudentAdjustment(APIView):
    permission_classes = [Teaching]

    @extend_schema(responses=AdjustmentSerializer)
    def get(self, request: Request, pk: UUID, student: UUID) -> Response:
        """What differs for the student, and why; nulls where it is as for the class."""
        assignment, who = _found(caller(request), pk, student)
        return Response(AdjustmentSerializer(_shown(assignment, who)).data)

    # Without an idempotency key: the same twice is the same, and a kept answer would be one more
    # place where the reason stands.
    @extend_schema(request=AdjustmentSerializer, responses=AdjustmentSerializer)
    def put(self, request: Request, pk: UUID, student: UUID) -> Response:
        """Set all of it at once."""
        person = caller(request)
        assignment, who = _found(person, pk, student)
        typed = AdjustmentSerializer(data=request.data)
        typed.is_valid(raise_exception=True)
        values = typed.validated_data
        exempt = _criteria(person, values["exempt"])

        adjust_student(
            assignment=assignment,
            student=who,
            by=person,
            counts={name: values[name] for name in OWN_COUNTS},
            dates={kind: values[kind] for kind in MilestoneKind.values},
            exempt=exempt,
            private_reason=values["private_reason"],
            at=timezone.now(),
        )
        return Response(AdjustmentSerializer(_shown(assignment, who)).data)

    @extend_schema(responses={204: None})
    def delete(self, request: Request, pk: UUID, student: UUID) -> Response:
        """As for the class again."""
        person = caller(request)
        assignment, who = _found(person, pk, student)
        as_for_the_class(assignment=assignment, student=who, by=person, at=timezone.now())
        return Response(status=status.HTTP_204_NO_CONTENT)


def _found(by: User, pk: UUID, student: UUID) -> tuple[Assignment, User]:
    taught = Assignment.objects.taught_by(by).select_related("section__studio")
    assignment = get_object_or_404(taught, pk=pk)
    here = User.objects.students().filter(
        enrolments__section=assignment.section_id, enrolments__left_on__isnull=True
    )
    return assignment, get_object_or_404(here, pk=student)


def _criteria(person: User, wanted: list[UUID]) -> list[Criterion]:
    found = list(criteria_of(studio_of(person)).filter(pk__in=wanted))
    if len(found) < len(set(wanted)):
        raise Refused(_("Choose from the studio's criteria."), field="exempt")
    return found


def _shown(assignment: Assignment, student: User) -> dict[str, Any]:
    row = Adjustment.objects.filter(assignment=assignment, student=student).first()
    dates = own_dates(assignment, student)
    exempt = exemptions_of(assignment, student).order_by("criterion__position")
    return {
        **{name: getattr(row, name, None) for name in OWN_COUNTS},
        **{kind: dates.get(kind) for kind in MilestoneKind.values},
        "exempt": list(exempt.values_list("criterion", flat=True)),
        "private_reason": row.private_reason if row else "",
    }
