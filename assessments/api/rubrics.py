"""Rubrics over the API: the same services as the pages."""

from typing import Any
from uuid import UUID

from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext as _
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from assessments.models import Rubric, RubricVersion
from assessments.selectors.rubrics import criteria_in, newest_version, version_of
from assessments.services.choosing_rubric import choose_rubric
from assessments.services.rubrics import change_rubric, create_rubric
from planning.models import Assignment
from studio.errors import Refused
from studio.people.access import person_of, studio_of
from studio.people.api.views import ONCE
from studio.people.api_access import Teaching
from studio.people.idempotency import once

from .reading import ReadsMarks
from .rubric_serializers import (
    ChangedRubricSerializer,
    ChosenRubricSerializer,
    RubricSerializer,
    VersionSerializer,
    WrittenRubricSerializer,
)


class Rubrics(ListModelMixin, GenericAPIView[Any]):
    permission_classes = [Teaching]
    serializer_class = RubricSerializer
    queryset = Rubric.objects.none()

    @extend_schema(operation_id="rubrics_list")
    def get(self, request: Request) -> Response:
        """The studio's rubrics; those put away too."""
        rows = Rubric.objects.visible_to(person_of(request)).order_by("title", "pk")
        page = self.paginate_queryset(rows)
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(
        request=WrittenRubricSerializer, responses={201: VersionSerializer}, parameters=[ONCE]
    )
    def post(self, request: Request) -> Response:
        """Write a rubric; its first version is answered."""
        by = person_of(request)
        sent = WrittenRubricSerializer(data=request.data)
        sent.is_valid(raise_exception=True)

        def act() -> Response:
            made = create_rubric(studio=studio_of(by), by=by, at=timezone.now(), **sent.written())
            return Response(_shown(newest_version(made)), status=status.HTTP_201_CREATED)

        return once(request, act)


class OneRubric(APIView):
    permission_classes = [Teaching]

    @extend_schema(responses=VersionSerializer)
    def get(self, request: Request, pk: UUID) -> Response:
        """Its newest version."""
        return Response(_shown(newest_version(_rubric(request, pk))))

    @extend_schema(request=ChangedRubricSerializer, responses=VersionSerializer, parameters=[ONCE])
    def put(self, request: Request, pk: UUID) -> Response:
        """Write it anew; a version that is in use stays, and the change is the next one."""
        rubric = _rubric(request, pk)
        sent = ChangedRubricSerializer(data=request.data)
        sent.is_valid(raise_exception=True)

        def act() -> Response:
            version = change_rubric(
                rubric=rubric,
                by=person_of(request),
                seen=sent.validated_data["seen"],
                at=timezone.now(),
                **sent.written(),
            )
            return Response(_shown(version))

        return once(request, act)


class RubricVersions(ListModelMixin, GenericAPIView[Any]):
    permission_classes = [Teaching]
    serializer_class = VersionSerializer
    queryset = RubricVersion.objects.none()

    @extend_schema(operation_id="rubric_versions_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """All versions, the newest first."""
        rubric = _rubric(request, pk)
        page: Any = self.paginate_queryset(rubric.versions.order_by("-number"))
        criteria = criteria_in([version.pk for version in page])
        rows = VersionSerializer(page, many=True, context={"criteria": criteria})
        return self.get_paginated_response(rows.data)


class RubricOfAssignment(APIView):
    """Students read what they are judged by; those who teach the class choose it."""

    permission_classes = [ReadsMarks]

    @extend_schema(responses=VersionSerializer)
    def get(self, request: Request, pk: UUID) -> Response:
        """The version that the assignment has, else the one that it will begin with."""
        person = person_of(request)
        seen = Assignment.objects.visible_to(person).select_related("section__studio")
        assignment = get_object_or_404(seen, pk=pk)
        version = version_of(assignment)
        if version is None:
            raise Refused(_("The studio has no rubric yet."))
        return Response(_shown(version))

    @extend_schema(request=ChosenRubricSerializer, responses=VersionSerializer, parameters=[ONCE])
    def put(self, request: Request, pk: UUID) -> Response:
        """Mark the assignment by this version, while nothing of it is marked."""
        by = person_of(request)
        taught = Assignment.objects.taught_by(by).select_related("section__studio")
        assignment = get_object_or_404(taught, pk=pk)
        sent = ChosenRubricSerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        version = sent.validated_data["version"]

        def act() -> Response:
            choose_rubric(assignment=assignment, version=version, by=by, at=timezone.now())
            return Response(_shown(version))

        return once(request, act)


def _rubric(request: Request, pk: UUID) -> Rubric:
    seen = Rubric.objects.visible_to(person_of(request)).select_related("studio")
    return get_object_or_404(seen, pk=pk)


def _shown(version: RubricVersion) -> Any:
    context = {"criteria": criteria_in([version.pk])}
    return VersionSerializer(version, context=context).data
