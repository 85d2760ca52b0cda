"""Weighings of one pot, over the API."""

from uuid import UUID

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from studio.people.access import person_of
from studio.people.api.views import ONCE
from studio.ware.models import WeighedAs, Weighing
from studio.ware.services import Weighed, weigh_built, weigh_drying

from .checks import OfPot
from .serializers import NewWeighingSerializer, WeighingSerializer
from .views import seen_pot, valid


class Weighings(OfPot):
    serializer_class = WeighingSerializer

    @extend_schema(operation_id="pot_weighings_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """All of them; the newest of a kind counts."""
        return self.listed(Weighing.objects.filter(pot=seen_pot(request, pk)))

    @extend_schema(
        request=NewWeighingSerializer, responses={201: WeighingSerializer}, parameters=[ONCE]
    )
    def post(self, request: Request, pk: UUID) -> Response:
        """Finished and wet (`built`); or `drying`, with the step that the scale shows."""
        pot, said = seen_pot(request, pk), valid(NewWeighingSerializer, request)
        by, at, grams = person_of(request), timezone.now(), said["grams"]

        def act() -> Weighing:
            if said["weighed_as"] == WeighedAs.BUILT:
                return weigh_built(rows=[Weighed(pot, grams)], by=by, at=at)[0]
            return weigh_drying(pot=pot, grams=grams, step_g=said["step_g"], by=by, at=at)

        return self.made(request, act)
