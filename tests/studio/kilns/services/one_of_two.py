"""What each of several processes does that load, light or log at the same moment."""

from collections.abc import Callable

from django.test import RequestFactory

from studio.errors import Refused
from studio.kilns.models import Slot
from studio.kilns.selectors.load_view import may_fill
from studio.kilns.selectors.waiting import waiting_for
from studio.kilns.services.firing import light, log_entry
from studio.kilns.services.loads import place_pots, work_out
from studio.people.idempotency import once_for_form
from studio.people.models import User
from studio.ware.models import Pot
from tests.cast import NOW, TODAY
from tests.studio.kilns.services.test_firing import EVENING


def act(kind: str, slot: Slot, by: User, key: str, pots: list[Pot]) -> str:
    request = RequestFactory().post("/load/", {"once": key})
    request.user = by
    match kind:
        case "place":
            # As the page does: worked out first, then written.
            ready = work_out(slot=slot, pots=pots, by=by)
            told = once_for_form(
                request,
                lambda: {
                    "in": len(
                        place_pots(slot=slot, pots=pots, by=by, at=NOW, worked_out=ready).placed
                    )
                },
            )
            return f"placed {told['in']}"
        case "fill":
            chosen = [each.pot for each in may_fill(slot, waiting_for(slot, TODAY))]
            return f"placed {len(place_pots(slot=slot, pots=chosen, by=by, at=NOW).placed)}"
        case "light":
            light(slot=slot, by=by, at=EVENING, part_full_reason="x")
            return "lit"
    once_for_form(
        request, lambda: {"pk": str(log_entry(slot=slot, at=EVENING, temp_c=85, by=by).pk)}
    )
    return "logged"


def said_of(
    ready: Callable[[], object], kind: str, slot_pk: str, by_pk: str, key: str, *pot_pks: str
) -> list[str]:
    slot = Slot.objects.select_related("studio", "kiln", "program").get(pk=slot_pk)
    by = User.objects.select_related("studio").get(pk=by_pk)
    found = Pot.objects.select_related("piece__assignment", "plan").in_bulk(pot_pks)
    ready()
    try:
        return [act(kind, slot, by, key, list(found.values()))]
    except Refused as refusal:
        return [f"refused: {refusal}"]
