"""Plans are put right only where that makes them better."""

from dataclasses import replace

import pytest

from studio.kilns.weeks import repair
from studio.kilns.weeks.inputs import Pot, Start
from studio.kilns.weeks.repair import lighter, repaired
from studio.kilns.weeks.table import Plan, Table

from .tiny import kiln, pot, start, week

THREE = [start("S0", "a", 0), start("S1", "a", 1), start("S2", "a", 2)]


def laid(pots: list[Pot], starts: list[Start] | None = None) -> Table:
    return Table.laid(week([kiln("a", 2)], starts or THREE, pots), lambda _packed: None)


def loads(table: Table, **of: int) -> Plan:
    """By pot the start in which it is loaded."""
    place = {unit.pots[0].id: u for u, unit in enumerate(table.units)}
    return {
        s: table.packer.packed(s, [place[name] for name, into in of.items() if into == s])
        for s in sorted(set(of.values()))
    }


def named(plan: Plan, table: Table) -> dict[int, set[str]]:
    return {s: {table.units[u].pots[0].id for u in load.stood} for s, load in plan.items()}


def test_a_firing_whose_pots_fit_into_another_is_given_up() -> None:
    table = laid([pot("P0"), pot("P1")])
    assert named(lighter(loads(table, P0=0, P1=1), table), table) == {1: {"P0", "P1"}}


def test_a_firing_stays_where_a_pot_of_it_would_be_late_or_has_no_other() -> None:
    pots = [pot("P0", due=1), pot("P1", ready=2), pot("P2", "cone 6")]
    table = laid(pots, [*THREE, start("G", "a", 3, "cone 6")])
    plan = loads(table, P0=0, P1=2, P2=3)
    assert lighter(plan, table) == plan


def test_a_firing_that_is_kept_is_never_given_up() -> None:
    kept = [replace(each, kept=True) for each in THREE[:2]]
    table = laid([pot("P0"), pot("P1")], kept)
    plan = loads(table, P0=0, P1=1)
    assert lighter(plan, table) == plan


@pytest.mark.parametrize("passes", [1, 2])
def test_what_is_left_goes_where_there_is_room_and_an_empty_firing_is_not_lit(
    monkeypatch: pytest.MonkeyPatch, passes: int
) -> None:
    monkeypatch.setattr(repair, "PASSES", passes)
    pots = [*(pot(f"P{n}") for n in range(4)), pot("G", "cone 6")]
    table = laid(pots, [*THREE[:2], start("G", "a", 1.1, "cone 6")])
    plan = repaired(loads(table, P0=0) | {1: table.packer.packed(1, [])}, table)
    lit = named(plan, table)
    assert {s: len(names) for s, names in lit.items()} in ({0: 2, 1: 2}, {0: 2, 2: 1})
    assert table.left(plan)
