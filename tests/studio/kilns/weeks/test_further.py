"""What is left out is told the firings that would take it: planned after all, they do."""

from dataclasses import replace

from studio.kilns.weeks.further import free_of, further_firings
from studio.kilns.weeks.plan import plan_week

from .tiny import at, kiln, pot, start, week, wrong

A, B = kiln("a", 2, "b"), kiln("b", 1)
TAKEN = start("S0", "a", 0)
MIGHT = [
    start("on top of it", "a", 0.2),
    start("beside it", "b", 0.2),
    start("after it", "a", 2),
    start("glaze", "b", 3, "cone 6"),
    start("day after", "a", 4),
]


def test_a_start_is_free_where_neither_its_kiln_nor_one_apart_from_it_is_taken() -> None:
    free = free_of(MIGHT, [TAKEN], week([A, B], [TAKEN], []))
    assert [each.id for each in free] == ["after it", "glaze", "day after"]


def test_as_few_further_firings_as_can_be_take_all_that_is_left_out() -> None:
    pots = [*(pot(f"P{n}") for n in range(4)), pot("G", "cone 6"), pot("N", not_now=True)]
    pots[2:4] = [replace(each, ready=at(1)) for each in pots[2:4]]
    asked = week([A, B], [TAKEN], pots)
    answer = plan_week(asked)
    free = free_of(MIGHT, [TAKEN], asked)
    more = further_firings(asked, answer, free)
    assert {each.start.id: len(each.pots) for each in more} == {"after it": 2, "glaze": 1}
    whole = replace(asked, starts=(TAKEN, *(each.start for each in more)))
    planned = plan_week(whole)
    assert not wrong(whole, planned)
    assert [each.id for each in planned.left_out] == ["N"]


def test_without_a_free_start_or_a_pot_left_out_there_is_nothing_to_tell() -> None:
    asked = week([A, B], [TAKEN], [pot("P0")])
    answer = plan_week(asked)
    assert further_firings(asked, answer, MIGHT) == ()
    assert further_firings(asked, replace(answer, left_out=()), ()) == ()
