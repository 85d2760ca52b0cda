"""Pieces and their drawings over the API: the same services as the pages."""

from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext as _
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from planning.models import Choice, Piece, Refinement, Thumbnail
from planning.services.choosing import choose_design
from planning.services.drawings import add_refinement, add_thumbnail
from studio.errors import Refused
from studio.people.access import person_of

from .piece_serializers import (
    ChoiceSerializer,
    NewChoiceSerializer,
    NewRefinementSerializer,
    NewThumbnailSerializer,
    PieceSerializer,
    RefinementSerializer,
    ThumbnailSerializer,
)


def seen_piece(request: Request, pk: UUID) -> Piece:
    return get_object_or_404(Piece.objects.visible_to(person_of(request)), pk=pk)


def own_piece(request: Request, pk: UUID) -> Piece:
    """A piece that the person draws: only its student changes it."""
    mine = Piece.objects.drawn_by(person_of(request))
    rows = mine.select_related("studio", "student", "assignment__clay_body")
    return get_object_or_404(rows, pk=pk)


class Pieces(ListModelMixin, GenericAPIView[Any]):
    serializer_class = PieceSerializer
    queryset = Piece.objects.none()

    @extend_schema(operation_id="pieces_list")
    def get(self, request: Request) -> Response:
        """The pieces that you see."""
        rows = Piece.objects.visible_to(person_of(request))
        page = self.paginate_queryset(
            rows.select_related("student", "assignment").order_by("created_at", "pk")
        )
        return self.get_paginated_response(self.get_serializer(page, many=True).data)


class OnePiece(APIView):
    @extend_schema(responses=PieceSerializer)
    def get(self, request: Request, pk: UUID) -> Response:
        rows = Piece.objects.visible_to(person_of(request)).select_related("student", "assignment")
        piece = get_object_or_404(rows, pk=pk)
        return Response(PieceSerializer(piece, context={"request": request}).data)


class PieceThumbnails(ListModelMixin, GenericAPIView[Any]):
    parser_classes = [MultiPartParser]
    serializer_class = ThumbnailSerializer
    queryset = Thumbnail.objects.none()

    @extend_schema(operation_id="piece_thumbnails_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """All thumbnails of a piece, withdrawn ones too, in the student's order."""
        return _listed(self, Thumbnail.objects.filter(piece=seen_piece(request, pk)))

    @extend_schema(request=NewThumbnailSerializer, responses={201: ThumbnailSerializer})
    def post(self, request: Request, pk: UUID) -> Response:
        """One more idea, from a photo."""
        piece = own_piece(request, pk)
        sent = NewThumbnailSerializer(data=request.data, context={"piece": piece})
        sent.is_valid(raise_exception=True)
        drawing = add_thumbnail(
            piece=piece,
            by=person_of(request),
            file=sent.validated_data["photo"],
            source_form=sent.validated_data["source_form"],
            note=sent.validated_data["note"],
            at=timezone.now(),
        )
        return Response(self.get_serializer(drawing).data, status=status.HTTP_201_CREATED)


class PieceRefinements(ListModelMixin, GenericAPIView[Any]):
    parser_classes = [MultiPartParser]
    serializer_class = RefinementSerializer
    queryset = Refinement.objects.none()

    @extend_schema(operation_id="piece_refinements_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """All refinements of a piece, withdrawn ones too."""
        return _listed(self, Refinement.objects.filter(piece=seen_piece(request, pk)))

    @extend_schema(request=NewRefinementSerializer, responses={201: RefinementSerializer})
    def post(self, request: Request, pk: UUID) -> Response:
        """A drawing that develops the chosen design."""
        piece = own_piece(request, pk)
        sent = NewRefinementSerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        drawing = add_refinement(
            piece=piece,
            by=person_of(request),
            file=sent.validated_data["photo"],
            note=sent.validated_data["note"],
            at=timezone.now(),
        )
        return Response(self.get_serializer(drawing).data, status=status.HTTP_201_CREATED)


class PieceChoice(APIView):
    @extend_schema(responses=ChoiceSerializer)
    def get(self, request: Request, pk: UUID) -> Response:
        """The chosen design; 404 until there is one."""
        chosen = Choice.objects.current().filter(piece=seen_piece(request, pk))
        choice = get_object_or_404(chosen)
        return Response(ChoiceSerializer(choice, context={"request": request}).data)

    @extend_schema(request=NewChoiceSerializer, responses=ChoiceSerializer)
    def put(self, request: Request, pk: UUID) -> Response:
        """Commit to a thumbnail; refused while the brief asks for more exploring."""
        piece = own_piece(request, pk)
        sent = NewChoiceSerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        thumbnail = Thumbnail.objects.filter(
            piece=piece, pk=sent.validated_data["thumbnail"]
        ).first()
        if thumbnail is None:
            raise Refused(_("Choose one of your own thumbnails."), field="thumbnail")
        choice = choose_design(
            piece=piece,
            thumbnail=thumbnail,
            reason=sent.validated_data["reason"],
            by=person_of(request),
            at=timezone.now(),
        )
        return Response(ChoiceSerializer(choice, context={"request": request}).data)


def _listed(view: GenericAPIView[Any], rows: QuerySet[Any]) -> Response:
    page = view.paginate_queryset(rows.select_related("image"))
    return view.get_paginated_response(view.get_serializer(page, many=True).data)
