"""Which drawings of a student are one idea, and a teacher's word on it, over the API."""

from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers, status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from planning.models import IdeaChange, Ideas, Piece
from planning.selectors.gate import ideas_now
from planning.services.ideas_by_hand import change_ideas, undo_change
from studio.people.api.views import ONCE, caller
from studio.people.api_access import Teaching
from studio.people.idempotency import once


class IdeasSerializer(serializers.Serializer[Any]):
    """`compared` is false while the drawings are being compared, where that failed, and in a class
    whose ideas aren't counted; the rest is then empty. Drawings are named by their ids."""

    compared = serializers.BooleanField()
    distinct = serializers.FloatField(allow_null=True, help_text="In effect, from low to high.")
    low = serializers.FloatField(allow_null=True)
    high = serializers.FloatField(allow_null=True)
    groups = serializers.ListField(child=serializers.ListField(child=serializers.UUIDField()))
    copies = serializers.ListField(
        child=serializers.ListField(child=serializers.UUIDField()),
        help_text="A drawing, and a later one that is the same again.",
    )
    unreadable = serializers.ListField(child=serializers.UUIDField())
    by_hand = serializers.BooleanField(help_text="A teacher put something of it right.")


class IdeaChangeSerializer(serializers.ModelSerializer[IdeaChange]):
    thumbnails = serializers.ListField(source="of", child=serializers.UUIDField())

    class Meta:
        model = IdeaChange
        fields = ("id", "kind", "thumbnails", "reason", "by", "at", "undone_at")
        read_only_fields = ("by", "at", "undone_at")


class PieceIdeas(APIView):
    permission_classes = [Teaching]

    @extend_schema(responses=IdeasSerializer)
    def get(self, request: Request, pk: UUID) -> Response:
        """What the standing drawings come to, with what teachers put right."""
        return Response(IdeasSerializer(_told(ideas_now(_taught(request, pk)))).data)


class IdeaChanges(ListModelMixin, GenericAPIView[IdeaChange]):
    permission_classes = [Teaching]
    serializer_class = IdeaChangeSerializer

    def get_queryset(self) -> QuerySet[IdeaChange]:
        return IdeaChange.objects.filter(piece__in=_all_taught(self.request))

    @extend_schema(operation_id="idea_changes_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """What teachers put right, undone changes too, in order of time."""
        page = self.paginate_queryset(self.get_queryset().filter(piece=_taught(request, pk)))
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(
        request=IdeaChangeSerializer, responses={201: IdeaChangeSerializer}, parameters=[ONCE]
    )
    def post(self, request: Request, pk: UUID) -> Response:
        """Say that drawings are one idea (`join`) or each one of its own (`separate`), and why."""
        piece = _taught(request, pk)
        typed = self.get_serializer(data=request.data)
        typed.is_valid(raise_exception=True)
        said = typed.validated_data

        def act() -> Response:
            change = change_ideas(
                piece=piece,
                kind=IdeaChange.Kind(said["kind"]),
                thumbnails=[str(each) for each in said["of"]],
                reason=said["reason"],
                by=caller(request),
                at=timezone.now(),
            )
            return Response(self.get_serializer(change).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class IdeaChangeUndo(APIView):
    permission_classes = [Teaching]

    @extend_schema(request=None, responses=IdeaChangeSerializer)
    def post(self, request: Request, pk: UUID) -> Response:
        """Take it back; what was said after it holds on."""
        found = IdeaChange.objects.filter(piece__in=_all_taught(request))
        change = get_object_or_404(
            found.select_related("piece__studio", "piece__assignment"), pk=pk
        )
        undone = undo_change(change=change, by=caller(request), at=timezone.now())
        return Response(IdeaChangeSerializer(undone).data)


def _all_taught(request: Request) -> QuerySet[Piece]:
    return Piece.objects.taught_by(caller(request)).order_by()


def _taught(request: Request, pk: UUID) -> Piece:
    rows = Piece.objects.taught_by(caller(request)).select_related("studio", "assignment")
    return get_object_or_404(rows, pk=pk)


def _told(ideas: Ideas | None) -> dict[str, Any]:
    told = ideas.told if ideas is not None else None
    if ideas is None or told is None:
        nothing = dict.fromkeys(("distinct", "low", "high"))
        rows: dict[str, Any] = {"groups": [], "copies": [], "unreadable": []}
        return {"compared": False, **nothing, **rows, "by_hand": False}
    named = {name: told[name] for name in ("distinct", "low", "high", "groups", "copies")}
    return {
        "compared": True,
        **named,
        "unreadable": [each["id"] for each in told["unreadable"]],
        "by_hand": ideas.put_right is not None,
    }
