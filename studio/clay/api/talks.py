"""Safety talks over the API."""

from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response

from studio.clay.models import SafetyTalk
from studio.clay.services import record_talk
from studio.people.api.views import ONCE, caller
from studio.people.api_access import Staff

from .moving import posted
from .serializers import SafetyTalkSerializer, TalkSerializer


class SafetyTalks(ListModelMixin, GenericAPIView[SafetyTalk]):
    permission_classes = [Staff]
    serializer_class = SafetyTalkSerializer

    def get_queryset(self) -> QuerySet[SafetyTalk]:
        return SafetyTalk.objects.visible_to(caller(self.request)).order_by("-on", "pk")

    @extend_schema(operation_id="safety_talks_list")
    def get(self, request: Request) -> Response:
        """Who of the students that you see heard it, the newest first."""
        page = self.paginate_queryset(self.get_queryset())
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(
        request=TalkSerializer,
        responses={201: SafetyTalkSerializer(many=True)},
        parameters=[ONCE],
    )
    def post(self, request: Request) -> Response:
        """These students heard it on this day; who is down for it already is left out."""
        return posted(
            request,
            TalkSerializer,
            lambda values, by, at: record_talk(by=by, at=at, **values),
            SafetyTalkSerializer,
        )
