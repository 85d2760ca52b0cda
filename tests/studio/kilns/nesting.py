"""A bisque load in which pots of known sizes stand at known places."""

from collections.abc import Collection

from studio.kilns.models import Placement, Slot
from studio.kilns.selectors.loads import contents
from studio.kilns.services.loads import place_pots
from studio.kilns.services.nesting_pots import nest_pot, stand_by_itself
from studio.people.models import Studio
from studio.ware.models import Pot
from tests.cast import NOW, School
from tests.studio.kilns.kiln_room import a_kiln, a_slot
from tests.studio.kilns.loading import many_dry

BOWL, CUP = (200, 200, 120), (80, 80, 90)
"""Width, depth and height in mm: the cup stands in the bowl and ends below its rim, or on it."""


def a_load(
    cast: School, *sizes: tuple[float, float, float], **kiln: object
) -> tuple[Slot, list[Pot]]:
    """One pot of each size, each in its order."""
    Studio.objects.filter(pk=cast.studio.pk).update(length_unit="mm")
    slot = a_slot(cast.technician, kiln=a_kiln(cast.technician, **kiln))
    slot.studio.refresh_from_db()
    slot.kiln.studio.refresh_from_db()
    pots = many_dry(cast, len(sizes), sizes=sizes)
    placed = place_pots(slot=slot, pots=pots, by=cast.technician, at=NOW)
    assert not placed.left_out
    return slot, pots


def row(pot: Pot) -> Placement:
    return Placement.objects.get(pot=pot, done=False)


def at(pot: Pot, x_mm: float, y_mm: float, layer: int = 0) -> None:
    """Stands there, whatever the packing had in mind."""
    Placement.objects.filter(pot=pot).update(layer=layer, x_mm=x_mm, y_mm=y_mm, turn_deg=0)


def nest(
    cast: School,
    slot: Slot,
    pot: Pot,
    host: Pot,
    together_mm: float,
    *,
    seen: Collection[Pot] | None = None,
) -> Placement:
    """As somebody does who sees the load as it is, or saw just these guests."""
    if seen is None:
        seen = [each.pot for each in contents(slot).guests_of(row(host))]
    return nest_pot(
        slot=slot,
        pot=pot,
        host=host,
        together_mm=together_mm,
        seen=[each.pk for each in seen],
        by=cast.technician,
    )


def by_itself(cast: School, slot: Slot, pot: Pot) -> Placement:
    return stand_by_itself(slot=slot, pot=pot, by=cast.technician, at=NOW)
