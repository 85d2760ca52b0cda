"""The API of people: the same rows, services and permissions as the pages."""

from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.permissions import SAFE_METHODS
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from studio.people.access import person_of
from studio.people.api_access import SignedInWithinScope, Teaching
from studio.people.idempotency import HEADER, once
from studio.people.models import Enrolment, Meeting, Section, User
from studio.people.services import add_meeting, edit_meeting

from .serializers import (
    ClassSerializer,
    EnrolmentSerializer,
    MeetingChangeSerializer,
    MeetingSerializer,
    MeSerializer,
    NewMeetingSerializer,
)

ONCE = OpenApiParameter(
    HEADER, str, OpenApiParameter.HEADER, description="The same key twice writes once."
)


def caller(request: Request) -> User:
    return person_of(request)


class Me(APIView):
    @extend_schema(responses=MeSerializer)
    def get(self, request: Request) -> Response:
        """The person whose session or token this is."""
        return Response(MeSerializer(caller(request)).data)


class _Listed(ListModelMixin, GenericAPIView[Any]):
    """Rows by page."""

    def listed(self, rows: QuerySet[Any]) -> Response:
        page = self.paginate_queryset(rows)
        return self.get_paginated_response(self.get_serializer(page, many=True).data)


class Classes(_Listed):
    serializer_class = ClassSerializer

    def get_queryset(self) -> QuerySet[Section]:
        return Section.objects.visible_to(caller(self.request)).order_by("title", "pk")

    @extend_schema(operation_id="classes_list")
    def get(self, request: Request) -> Response:
        """The classes that you see."""
        return self.listed(self.get_queryset())


class OneClass(APIView):
    @extend_schema(responses=ClassSerializer)
    def get(self, request: Request, pk: UUID) -> Response:
        section = get_object_or_404(Section.objects.visible_to(caller(request)), pk=pk)
        return Response(ClassSerializer(section).data)


class ClassEnrolments(_Listed):
    serializer_class = EnrolmentSerializer
    queryset = Enrolment.objects.none()

    @extend_schema(operation_id="class_enrolments_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """Who is in the class now; students see themselves."""
        section = get_object_or_404(Section.objects.visible_to(caller(request)), pk=pk)
        enrolments = Enrolment.objects.visible_to(caller(request)).current()
        rows = enrolments.filter(section=section).select_related("student")
        return self.listed(rows.order_by("student__family_name", "student__given_name", "pk"))


class _TeachersWrite(GenericAPIView[Any]):
    """Everybody who sees a class reads its dates; its teachers change them."""

    def get_permissions(self) -> list[Any]:
        reads = self.request.method in SAFE_METHODS
        return [SignedInWithinScope()] if reads else [Teaching()]


class ClassMeetings(_TeachersWrite, _Listed):
    serializer_class = MeetingSerializer
    queryset = Meeting.objects.none()

    @extend_schema(operation_id="class_meetings_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """The class's dates in order, with those that fall out."""
        section = get_object_or_404(Section.objects.visible_to(caller(request)), pk=pk)
        return self.listed(Meeting.objects.filter(section=section).order_by("on"))

    @extend_schema(
        request=NewMeetingSerializer, responses={201: MeetingSerializer}, parameters=[ONCE]
    )
    def post(self, request: Request, pk: UUID) -> Response:
        """One more lesson."""
        person = caller(request)
        taught = Section.objects.taught_by(person).select_related("studio")
        section = get_object_or_404(taught, pk=pk)
        typed = NewMeetingSerializer(data=request.data)
        typed.is_valid(raise_exception=True)

        def act() -> Response:
            meeting = add_meeting(
                section=section, by=person, today=timezone.localdate(), **typed.validated_data
            )
            return Response(MeetingSerializer(meeting).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class OneMeeting(_TeachersWrite):
    @extend_schema(responses=MeetingSerializer)
    def get(self, request: Request, pk: UUID) -> Response:
        meeting = get_object_or_404(Meeting.objects.visible_to(caller(request)), pk=pk)
        return Response(MeetingSerializer(meeting).data)

    @extend_schema(request=MeetingChangeSerializer, responses=MeetingSerializer, parameters=[ONCE])
    def patch(self, request: Request, pk: UUID) -> Response:
        """Move it, note something, let it fall out or bring it back."""
        person = caller(request)
        seen = Meeting.objects.filter(section__in=Section.objects.taught_by(person))
        meeting = get_object_or_404(seen.select_related("section__studio"), pk=pk)
        typed = MeetingChangeSerializer(data=request.data)
        typed.is_valid(raise_exception=True)
        now = {"on": meeting.on, "note": meeting.note}

        def act() -> Response:
            changed = edit_meeting(
                meeting=meeting,
                by=person,
                today=timezone.localdate(),
                **(now | typed.validated_data),
            )
            return Response(MeetingSerializer(changed).data)

        return once(request, act)
