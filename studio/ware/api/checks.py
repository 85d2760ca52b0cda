"""Greenware and glaze checks, flaws, losses and photos of one pot, over the API."""

from typing import Any
from uuid import UUID

from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from studio.people.access import person_of
from studio.people.api.views import ONCE
from studio.people.api_access import SignedInWithinScope, Staff
from studio.people.idempotency import once
from studio.ware.models import Flaw, GlazeCheck, GreenwareCheck, Loss, Pot, PotPhoto
from studio.ware.selectors.seen import of_seen_pots
from studio.ware.services import (
    add_pot_photo,
    check_glaze,
    check_greenware,
    find_pot,
    lose_pots,
    note_flaw,
    set_flaw_cause,
    set_loss_cause,
    withdraw_greenware,
)

from .serializers import (
    CauseSerializer,
    FlawSerializer,
    GlazeCheckSerializer,
    GreenwareSerializer,
    LossSerializer,
    NewGlazeCheckSerializer,
    NewGreenwareSerializer,
    NewLossSerializer,
    NewPotPhotoSerializer,
    PotPhotoSerializer,
    PotSerializer,
    ReasonSerializer,
)
from .views import seen_pot, valid


class OfPot(ListModelMixin, GenericAPIView[Any]):
    """Rows of one pot: everybody who sees it reads them."""

    queryset = Pot.objects.none()
    staff_write = True

    def get_permissions(self) -> list[Any]:
        staff = self.staff_write and self.request.method == "POST"
        return [Staff() if staff else SignedInWithinScope()]

    def listed(self, rows: Any) -> Response:
        page = self.paginate_queryset(rows.order_by("at", "pk"))
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    def made(self, request: Request, act: Any) -> Response:
        """201 with the row, once for a key."""
        return once(
            request,
            lambda: Response(self.get_serializer(act()).data, status=status.HTTP_201_CREATED),
        )


class GreenwareChecks(OfPot):
    serializer_class = GreenwareSerializer

    @extend_schema(operation_id="pot_greenware_checks_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """All of them; the one without `withdrawn_at` holds."""
        rows = GreenwareCheck.objects.filter(pot=seen_pot(request, pk))
        return self.listed(rows.select_related("by"))

    @extend_schema(
        request=NewGreenwareSerializer, responses={201: GreenwareSerializer}, parameters=[ONCE]
    )
    def post(self, request: Request, pk: UUID) -> Response:
        """A size far from the plan is refused at its field until it comes with `confirm`."""
        pot, said = seen_pot(request, pk), valid(NewGreenwareSerializer, request)
        by, at = person_of(request), timezone.now()
        return self.made(request, lambda: check_greenware(pot=pot, by=by, at=at, **said))


class GreenwareTakeBack(APIView):
    permission_classes = [Staff]

    @extend_schema(request=ReasonSerializer, responses=GreenwareSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """The check that stands holds no longer."""
        pot, said = seen_pot(request, pk), valid(ReasonSerializer, request)

        def act() -> Response:
            check = withdraw_greenware(
                pot=pot, by=person_of(request), at=timezone.now(), reason=said["reason"]
            )
            return Response(GreenwareSerializer(check).data)

        return once(request, act)


class GlazeChecks(OfPot):
    serializer_class = GlazeCheckSerializer

    @extend_schema(operation_id="pot_glaze_checks_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """All of them; the newest counts."""
        rows = GlazeCheck.objects.filter(pot=seen_pot(request, pk))
        return self.listed(rows.prefetch_related("glazes"))

    @extend_schema(
        request=NewGlazeCheckSerializer, responses={201: GlazeCheckSerializer}, parameters=[ONCE]
    )
    def post(self, request: Request, pk: UUID) -> Response:
        pot, said = seen_pot(request, pk), valid(NewGlazeCheckSerializer, request)
        by, at = person_of(request), timezone.now()
        return self.made(request, lambda: check_glaze(pot=pot, by=by, at=at, **said))


class Flaws(OfPot):
    serializer_class = FlawSerializer
    staff_write = False

    @extend_schema(operation_id="pot_flaws_list")
    def get(self, request: Request, pk: UUID) -> Response:
        return self.listed(Flaw.objects.filter(pot=seen_pot(request, pk)))

    @extend_schema(request=FlawSerializer, responses={201: FlawSerializer}, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """A crack or the like; the pot goes on."""
        pot, said = seen_pot(request, pk), valid(FlawSerializer, request)
        by, at = person_of(request), timezone.now()
        return self.made(request, lambda: note_flaw(pot=pot, by=by, at=at, **said))


class Losses(OfPot):
    serializer_class = LossSerializer

    @extend_schema(operation_id="pot_losses_list")
    def get(self, request: Request, pk: UUID) -> Response:
        return self.listed(Loss.objects.filter(pot=seen_pot(request, pk)))

    @extend_schema(request=NewLossSerializer, responses={201: LossSerializer}, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """It broke or is missing."""
        pot, said = seen_pot(request, pk), valid(NewLossSerializer, request)
        by, at = person_of(request), timezone.now()
        return self.made(request, lambda: lose_pots(pots=[pot], by=by, at=at, **said)[0])


class PotFound(APIView):
    permission_classes = [Staff]

    @extend_schema(request=None, responses=PotSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """It is here after all."""
        pot, by = seen_pot(request, pk), person_of(request)

        def act() -> Response:
            return Response(PotSerializer(find_pot(pot=pot, by=by, at=timezone.now())).data)

        return once(request, act)


class FlawCause(APIView):
    permission_classes = [Staff]

    @extend_schema(request=CauseSerializer, responses=FlawSerializer)
    def put(self, request: Request, pk: UUID) -> Response:
        """What it came from, as staff judge it."""
        by = person_of(request)
        flaw = get_object_or_404(of_seen_pots(Flaw.objects.select_related("pot"), by), pk=pk)
        kept = set_flaw_cause(flaw=flaw, by=by, **valid(CauseSerializer, request))
        return Response(FlawSerializer(kept).data)


class LossCause(APIView):
    permission_classes = [Staff]

    @extend_schema(request=CauseSerializer, responses=LossSerializer)
    def put(self, request: Request, pk: UUID) -> Response:
        """What it came from, as staff judge it."""
        by = person_of(request)
        loss = get_object_or_404(of_seen_pots(Loss.objects.select_related("pot"), by), pk=pk)
        kept = set_loss_cause(loss=loss, by=by, **valid(CauseSerializer, request))
        return Response(LossSerializer(kept).data)


class PotPhotos(OfPot):
    parser_classes = [MultiPartParser]
    serializer_class = PotPhotoSerializer
    staff_write = False

    @extend_schema(operation_id="pot_photos_list")
    def get(self, request: Request, pk: UUID) -> Response:
        rows = PotPhoto.objects.filter(pot=seen_pot(request, pk))
        return self.listed(rows.select_related("image"))

    @extend_schema(request=NewPotPhotoSerializer, responses={201: PotPhotoSerializer})
    def post(self, request: Request, pk: UUID) -> Response:
        """One more photo; the same one sent twice stays one."""
        pot, said = seen_pot(request, pk), valid(NewPotPhotoSerializer, request)
        photo = add_pot_photo(
            pot=pot,
            occasion=said["occasion"],
            file=said["photo"],
            by=person_of(request),
            at=timezone.now(),
        )
        return Response(self.get_serializer(photo).data, status=status.HTTP_201_CREATED)
