"""Why a pot is left out, and what would fit it."""

from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType

from planning.geometry.said import sentence

from .answer import LeftOut
from .inputs import Week
from .inside import Inside
from .units import Unit

WHY: Mapping[str, str] = MappingProxyType(
    {
        "not_now": sentence("It is kept back by hand."),
        "carrier_gone": sentence(
            "The pot that it is nested in doesn't wait for a firing. Take it out of that one."
        ),
        "nested_glaze": sentence(
            "It is nested in another pot, and glaze would join them. Only bisque is nested."
        ),
        "never_together": sentence("It stays together with pots that need another program."),
        "too_many_together": sentence("It stays together with more pots than one firing holds."),
        "no_kiln": sentence("It is too tall or too wide for every kiln."),
        "no_program": sentence("No firing of this week has a program that suits it."),
        "no_kiln_of_program": sentence(
            "It is too tall or too wide for the kilns that fire its program this week."
        ),
        "not_ready": sentence("Every firing that suits it is lit before it is ready."),
        "pinned_elsewhere": sentence("It is pinned to a firing that doesn't suit it."),
        "no_room": sentence("The firings that suit it are full."),
        "not_tried": sentence(
            "It may fit, but the week is large and the plan stopped before it was tried. Plan the "
            "week anew, or put it into a load by hand."
        ),
        "kiln_taken": sentence(
            "The firings that suit it can't be lit: the kiln is taken, or another one fires that "
            "never fires together with it."
        ),
    }
)


def left_out(
    unit: Unit, week: Week, insides: Mapping[str, Inside], unlit: Sequence[int], free: bool
) -> Iterator[LeftOut]:
    """Each pot of a unit without a firing. `unlit` are starts that suit it and are not lit; `free`:
    one of them could be."""
    kilns = tuple(name for name, each in insides.items() if each.takes(unit.pieces))
    programs = tuple(sorted(frozenset.intersection(*(each.programs for each in unit.pots))))
    starts = tuple(week.starts[s].id for s in unlit)
    full = "no_room" if len(unlit) < len(unit.starts) else "kiln_taken"
    # A pot alone that could go was not tried: enough loads were packed before.
    could = "too_many_together" if len(unit.pots) > 1 else "not_tried"
    why = unit.why or (could if free else full)
    for pot in unit.pots:
        yield LeftOut(pot.id, why, kilns, programs, starts)
