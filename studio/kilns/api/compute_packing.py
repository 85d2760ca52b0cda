"""`POST /api/compute/packing/`: where pots stand in a kiln, kept nowhere."""

from dataclasses import replace
from typing import Final

from django.utils.translation import gettext as _
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from studio.errors import Refused
from studio.kilns.packing.load import Reason
from studio.kilns.refusal import Trouble
from studio.kilns.wording import refused
from studio.people.access import person_of
from studio.uploads.child import answer_of_child
from studio.web.slots import Slots

from .packing_serializers import ACROSS, PackingRequestSerializer, PackingResponseSerializer

# Less than the web server's; the work is bounded too, so that only loads of very many small
# pots with many-sided outlines come near it.
TIMEOUT_SECONDS: Final = 60


class PackingCompute(APIView):
    """Nothing is kept, so a person of any studio or none may ask."""

    only_computes = True
    # Each holds a process of its own for some seconds.
    slots = Slots(each=2, together=3)

    @extend_schema(request=PackingRequestSerializer, responses={200: PackingResponseSerializer})
    def post(self, request: Request) -> Response:
        """Lay pots out on a kiln's shelves: layers from the bottom up, and what has no place."""
        sent = PackingRequestSerializer(
            data=request.data
        )  # read first: a slow sender holds no slot
        sent.is_valid(raise_exception=True)
        asked = dict(sent.validated_data)
        pieces = asked.pop("pieces")
        with self.slots.taken_by(person_of(request).pk):
            told = answer_of_child(
                "studio.kilns.packing.child",
                (),
                timeout_s=TIMEOUT_SECONDS,
                asked={"furniture": asked, "pieces": pieces},
            )
        if "refused" in told:
            raise Refused(
                _("This load takes too long to work out. Send fewer pieces at once."),
                field="pieces",
            )
        if "troubles" in told:
            shape = asked["shelf"]["shape"]
            raise refused(_as_asked([Trouble(**each) for each in told["troubles"]], shape))
        for each in told["unplaced"]:
            each["reason_code"], each["reason"] = each["reason"], reason_sentence(each["reason"])
        return Response(told)


def reason_sentence(reason: Reason) -> str:
    """Why a pot has no place, where nothing is known of its kiln but measures."""
    sentences: dict[Reason, str] = {
        "taller_than_kiln": _("It is taller than the kiln leaves room for."),
        "wider_than_shelf": _("It doesn't fit on a shelf however it is turned."),
        "no_room": _("No room is left for it in this load."),
    }
    return sentences[reason]


def _as_asked(troubles: list[Trouble], shape: str) -> list[Trouble]:
    """Each trouble at the field that was sent: one size across where a shelf has only one."""
    if shape not in ACROSS:
        return troubles
    across = f"shelf.{ACROSS[shape]}"
    at: dict[tuple[str, str], Trouble] = {}
    for each in troubles:
        path = across if each.path in {"shelf.width_mm", "shelf.depth_mm"} else each.path
        at.setdefault((path, each.code), replace(each, path=path))
    return list(at.values())
