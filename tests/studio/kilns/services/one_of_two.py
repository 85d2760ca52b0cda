"""One of the processes that load, light or log at the same moment.

`python -m tests.studio.kilns.services.one_of_two ACT SLOT BY KEY POT…` says "ready", waits for a
line, acts, and says what it reads.
"""

import sys

import django

django.setup()

from django.test import RequestFactory  # noqa: E402 -- after the setup

from studio.errors import Refused  # noqa: E402
from studio.kilns.models import Slot  # noqa: E402
from studio.kilns.selectors.load_view import may_fill  # noqa: E402
from studio.kilns.selectors.waiting import waiting_for  # noqa: E402
from studio.kilns.services.firing import light, log_entry  # noqa: E402
from studio.kilns.services.loads import place_pots, work_out  # noqa: E402
from studio.people.idempotency import once_for_form  # noqa: E402
from studio.people.models import User  # noqa: E402
from studio.ware.models import Pot  # noqa: E402
from tests.cast import NOW, TODAY  # noqa: E402
from tests.studio.kilns.services.test_firing import EVENING  # noqa: E402


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


def main(kind: str, slot_pk: str, by_pk: str, key: str, *pot_pks: str) -> None:
    slot = Slot.objects.select_related("studio", "kiln", "program").get(pk=slot_pk)
    by = User.objects.select_related("studio").get(pk=by_pk)
    found = Pot.objects.select_related("piece__assignment", "plan").in_bulk(pot_pks)
    pots = list(found.values())
    print("ready", flush=True)  # noqa: T201 -- this is how it talks
    sys.stdin.readline()
    try:
        said = act(kind, slot, by, key, pots)
    except Refused as refusal:
        said = f"refused: {refusal}"
    print(said, flush=True)  # noqa: T201


if __name__ == "__main__":
    main(*sys.argv[1:])
