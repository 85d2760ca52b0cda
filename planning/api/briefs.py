"""Briefs and source forms over the API: the same services as the pages."""

from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext as _
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response

from planning.models import Brief, SourceForm
from planning.models.brief import TERMS
from planning.services.briefs import (
    copy_brief,
    create_brief,
    edit_brief,
    give_brief,
    put_away_brief,
    take_out_brief,
)
from planning.services.source_forms import (
    add_source_form,
    offer_source_form,
    rename_source_form,
    retire_source_form,
)
from studio.errors import Refused
from studio.people.access import studio_of
from studio.people.api.views import ONCE, caller
from studio.people.api_access import Teaching
from studio.people.idempotency import once
from studio.people.models import Section

from .assignments import shown_assignments
from .brief_serializers import (
    AssignmentSerializer,
    BriefSerializer,
    CopySerializer,
    GiveSerializer,
    SourceFormSerializer,
)


class _Briefs(GenericAPIView[Brief]):
    permission_classes = [Teaching]
    serializer_class = BriefSerializer

    def get_queryset(self) -> QuerySet[Brief]:
        seen = Brief.objects.visible_to(caller(self.request))
        return seen.select_related("studio", "clay_body").order_by("-created_at", "pk")

    def get_serializer_context(self) -> dict[str, Any]:
        return {**super().get_serializer_context(), "studio": caller(self.request).studio_id}

    def brief(self, pk: UUID) -> Brief:
        return get_object_or_404(self.get_queryset(), pk=pk)

    def made(self, brief: Brief) -> Response:
        return Response(self.get_serializer(brief).data, status=status.HTTP_201_CREATED)


class Briefs(ListModelMixin, _Briefs):
    @extend_schema(operation_id="briefs_list")
    def get(self, request: Request) -> Response:
        """The studio's briefs, newest first, those put away too. Limits are for the fired pot."""
        page = self.paginate_queryset(self.get_queryset())
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(responses={201: BriefSerializer}, parameters=[ONCE])
    def post(self, request: Request) -> Response:
        """A new brief."""
        person = caller(request)
        typed = self.get_serializer(data=request.data)
        typed.is_valid(raise_exception=True)
        values = typed.validated_data

        def act() -> Response:
            brief = create_brief(
                studio=studio_of(person),
                by=person,
                title=values["title"],
                terms=_terms(values),
                at=timezone.now(),
            )
            return self.made(brief)

        return once(request, act)


class OneBrief(_Briefs):
    def get(self, request: Request, pk: UUID) -> Response:
        return Response(self.get_serializer(self.brief(pk)).data)

    @extend_schema(parameters=[ONCE])
    def patch(self, request: Request, pk: UUID) -> Response:
        """Whatever is left out stays. Classes that have the brief keep the terms they were given;
        `archived` puts it away or takes it out."""
        person, brief = caller(request), self.brief(pk)
        typed = self.get_serializer(data=request.data, partial=True)
        typed.is_valid(raise_exception=True)
        values = typed.validated_data

        def act() -> Response:
            with transaction.atomic():
                title = values.get("title", brief.title)
                changed = edit_brief(brief=brief, by=person, title=title, terms=_terms(values))
                if "archived" in values:
                    move = put_away_brief if values["archived"] else take_out_brief
                    changed = move(brief=changed, by=person)
            return Response(self.get_serializer(changed).data)

        return once(request, act)


class BriefCopies(_Briefs):
    @extend_schema(request=CopySerializer, responses={201: BriefSerializer}, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """A new brief with the same terms, for a new term."""
        person, brief = caller(request), self.brief(pk)
        typed = CopySerializer(data=request.data)
        typed.is_valid(raise_exception=True)
        title = typed.validated_data["title"]

        def act() -> Response:
            return self.made(copy_brief(brief=brief, by=person, title=title, at=timezone.now()))

        return once(request, act)


class BriefGive(_Briefs):
    @extend_schema(
        request=GiveSerializer,
        responses={201: AssignmentSerializer(many=True)},
        parameters=[ONCE],
    )
    def post(self, request: Request, pk: UUID) -> Response:
        """Give it to classes: all or none. Each gets dates over its own lessons, and a piece for
        everybody in it."""
        person, brief = caller(request), self.brief(pk)
        typed = GiveSerializer(data=request.data)
        typed.is_valid(raise_exception=True)
        wanted = set(typed.validated_data["sections"])
        sections = list(Section.objects.taught_by(person).filter(pk__in=wanted))
        if len(sections) < len(wanted):
            raise Refused(_("Choose from the classes that you teach."), field="sections")

        def act() -> Response:
            given = give_brief(
                brief=brief,
                by=person,
                sections=sections,
                given_on=typed.validated_data["given_on"],
                due_on=typed.validated_data["due_on"],
                at=timezone.now(),
            )
            rows = shown_assignments(person).filter(pk__in=[each.pk for each in given])
            shown = AssignmentSerializer(rows.order_by("section__title", "pk"), many=True)
            return Response(shown.data, status=status.HTTP_201_CREATED)

        return once(request, act)


class _SourceForms(GenericAPIView[SourceForm]):
    permission_classes = [Teaching]
    serializer_class = SourceFormSerializer

    def get_queryset(self) -> QuerySet[SourceForm]:
        seen = SourceForm.objects.visible_to(caller(self.request))
        return seen.select_related("studio").order_by("name", "pk")


class SourceForms(ListModelMixin, _SourceForms):
    @extend_schema(operation_id="source_forms_list")
    def get(self, request: Request) -> Response:
        """What an idea can grow from, those no longer offered too."""
        page = self.paginate_queryset(self.get_queryset())
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(responses={201: SourceFormSerializer}, parameters=[ONCE])
    def post(self, request: Request) -> Response:
        person = caller(request)
        typed = self.get_serializer(data=request.data)
        typed.is_valid(raise_exception=True)
        name = typed.validated_data["name"]

        def act() -> Response:
            added = add_source_form(studio=studio_of(person), by=person, name=name)
            return Response(self.get_serializer(added).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class OneSourceForm(_SourceForms):
    @extend_schema(parameters=[ONCE])
    def patch(self, request: Request, pk: UUID) -> Response:
        """Another word, or `retired`. Drawings that grew from it keep it."""
        person, found = caller(request), get_object_or_404(self.get_queryset(), pk=pk)
        typed = self.get_serializer(data=request.data, partial=True)
        typed.is_valid(raise_exception=True)
        values = typed.validated_data

        def act() -> Response:
            changed = found
            with transaction.atomic():
                if "name" in values:
                    changed = rename_source_form(source_form=found, by=person, name=values["name"])
                if "retired" in values:
                    move = retire_source_form if values["retired"] else offer_source_form
                    changed = move(source_form=found, by=person)
            return Response(self.get_serializer(changed).data)

        return once(request, act)


def _terms(values: dict[str, Any]) -> dict[str, Any]:
    return {name: values[name] for name in TERMS if name in values}
